"""A second opinion on object dictionaries, by the library `canopen`.

{"read": FILE}: reads a device configuration file and prints every variable from 2000h on with its type and the value to be written.
{"write": FILE, "objects": N}: makes a dictionary of N invented variables, writes it as a data sheet, and prints what it holds.
"""

import json
import random
import sys

import canopen
from canopen import objectdictionary as od


def variables(dictionary):
    for index, entry in dictionary.items():
        if index < 0x2000:
            continue
        if isinstance(entry, od.ODVariable):
            yield index, 0, entry
        else:
            for sub, variable in entry.items():
                if sub > 0:
                    yield index, sub, variable


def read(path):
    dictionary = canopen.import_od(path)
    found = {}
    for index, sub, variable in variables(dictionary):
        found[f"{index:04X}:{sub:02X}"] = {"type": variable.data_type, "value": variable.value}
    return {"objects": found}


RANGES = {
    od.datatypes.INTEGER8: (-128, 127),
    od.datatypes.INTEGER16: (-32768, 32767),
    od.datatypes.INTEGER32: (-(2**31), 2**31 - 1),
    od.datatypes.UNSIGNED8: (0, 255),
    od.datatypes.UNSIGNED16: (0, 65535),
    od.datatypes.UNSIGNED32: (0, 2**32 - 1),
}


def write(path, count):
    dice = random.Random(306)
    dictionary = od.ObjectDictionary()
    dictionary.device_information.product_name = "Invented"
    said = {}
    for at in range(count):
        index, sub = 0x2000 + at // 8, 1 + at % 8
        if index not in dictionary:
            dictionary.add_object(od.ODRecord(f"group {at // 8}", index))
            number = od.ODVariable("parts", index, 0)
            number.data_type, number.access_type, number.default = od.datatypes.UNSIGNED8, "ro", 8
            dictionary[index].add_member(number)
        variable = od.ODVariable(f"setting {at}", index, sub)
        variable.data_type = dice.choice(list(RANGES))
        low, high = RANGES[variable.data_type]
        variable.min, variable.max = sorted((dice.randint(low, high), dice.randint(low, high)))
        variable.default = dice.randint(variable.min, variable.max)
        variable.access_type = dice.choice(["rw", "ro"])
        dictionary[index].add_member(variable)
        said[f"{index:04X}:{sub:02X}"] = {
            "name": variable.name,
            "low": str(variable.min),
            "high": str(variable.max),
            "default": str(variable.default),
            "access": variable.access_type,
        }
    canopen.export_od(dictionary, path)
    return {"objects": said}


question = json.load(sys.stdin)
json.dump(read(question["read"]) if "read" in question else write(question["write"], question["objects"]), sys.stdout)
