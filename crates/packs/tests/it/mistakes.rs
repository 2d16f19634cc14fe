//! Each kind of mistake gives one problem at the right line, alone and together with all others of its file.

use packs::{Problem, read_current_log, read_decisions, read_pack, read_position, read_site};

use crate::common::{DECISIONS, FULL, LOG, SITE, quellmoor, shown, source};

/// One mistake: in which file, what is replaced by what, a text on the line that must be named, and words that the
/// message and its help must hold.
struct Mistake(&'static str, &'static str, &'static str, &'static str, &'static [&'static str]);

/// Mistakes in values, keys and cells: they are told beside each other.
const VALUES: &[Mistake] = &[
    // The site.
    Mistake("site.toml", "code = \"nec\"", "code = \"nek\"", "nek", &["no code in force", "“nec”"]),
    Mistake("site.toml", "currency =", "curency =", "curency", &["unknown key “curency”", "“currency”"]),
    Mistake("site.toml", "electrician = 72", "electrician = \"72 USD\"", "72 USD", &["a text stands where a number"]),
    Mistake("site.toml", "engineer = 95.5", "engineer = -95.5", "-95.5", &["below zero"]),
    Mistake("site.toml", "1,250 ft", "1,250 A", "1,250 A", &["unit of electric current, not of length"]),
    Mistake("site.toml", "from = \"drawing\"", "from = \"drawn\"", "drawn", &["no origin of a fact", "“drawing”"]),
    Mistake("site.toml", "\"455 V\"", "\"505 V\"", "505 V", &["above the highest"]),
    Mistake("site.toml", "solid | high-resistance", "solid | hi-resistance", "hi-res", &["no supply grounding", "“high-resistance”"]),
    Mistake("site.toml", "\"side-by-side\"", "true", "mounting = true", &["no text"]),
    Mistake("site.toml", "carrier = \"4 kHz\"", "torque = \"4 Nm\"", "4 Nm", &["unknown key “torque” in [[boxes]]"]),
    Mistake(
        "site.toml",
        "[[boxes]]",
        "[[boxes]]\nname = \"CP-11\"\n[[boxes]]\nname = \"CP-11\"\n[[boxes]]",
        "name = \"CP-11\"\n[[boxes]]\nname = \"CP-12\"",
        &["name CP-11 stands twice"],
    ),
    Mistake("site.toml", "housing = \"cabinet\"", "housing = \"cabinett\"", "cabinett", &["no kind of housing", "“cabinet”"]),
    Mistake("site.toml", "rating = \"type-12\"", "rating = \"tipe-12\"", "tipe-12", &["no rating of the box", "“type-12”"]),
    Mistake("site.toml", "\"250..265 mm\"", "\"250..265 m\"", "265 m", &["outside what is sensible"]),
    Mistake("site.toml", "width = \"720 mm\"\n", "", "[[boxes.things]]", &["“width” is missing in [[boxes.things]]"]),
    Mistake(
        "site.toml",
        "bottom = \"800 mm\"",
        "top = \"800 mm\"\nbottom = \"800 mm\"",
        "top =",
        &["unknown key “top” in [[boxes.things]]"],
    ),
    Mistake("site.toml", "on = \"door\"", "on = \"roof\"", "roof", &["no place of fixing", "plate, door"]),
    Mistake("site.toml", "movable = true", "movable = \"yes\"", "movable", &["a text stands where true or false"]),
    Mistake("site.toml", "height = \"96 mm\"", "height = \"0 mm\"", "0 mm\"\ndepth = \"65", &["outside what is sensible"]),
    Mistake("site.toml", "name = \"meter\"", "name = \"upper duct\"", "upper duct\"\nleft = \"-12", &["name upper duct stands twice"]),
    // The position.
    Mistake("positions/KX-7.toml", "notes = [\"door does not close\"", "notes = [3", "notes", &["list of texts"]),
    Mistake("positions/KX-7.toml", "duty = \"heavy\"", "duty = 3", "duty = 3", &["“3” is no duty class"]),
    Mistake(
        "positions/KX-7.toml",
        "rated_current = \"40 A\"",
        "current = \"40 A\"",
        "current = \"40 A\"",
        &["unknown key “current” in [old]", "rated_current"],
    ),
    Mistake("positions/KX-7.toml", "count = 1", "count = 1.5", "count = 1.5", &["not a whole number"]),
    Mistake("positions/KX-7.toml", "on = 2026-03-02", "on = \"2026-02-30\"", "2026-02-30", &["no date", "2026-03-02"]),
    Mistake("positions/KX-7.toml", "\"460 V\"", "\"460\"", "\"460\"", &["has no unit", "kV"]),
    Mistake("positions/KX-7.toml", "\"1775 rpm\"", "1775", "speed = 1775", &["has no unit", "rpm"]),
    Mistake("positions/KX-7.toml", "\"36.5 A\"", "\"36,5 A\"", "36,5", &["comma only groups thousands"]),
    Mistake(
        "positions/KX-7.toml",
        "power_factor = 0.84",
        "power_factor = 84",
        "power_factor = 84",
        &["outside what is sensible", "20 % to 100 %"],
    ),
    Mistake("positions/KX-7.toml", "\"200..250 %\"", "\"250..200 %\"", "250..200", &["starts above its end"]),
    Mistake("positions/KX-7.toml", "\"11..14 A\"", "\"11..A\"", "11..A", &["does not start with a number"]),
    Mistake("positions/KX-7.toml", "kind = \"elevator\"", "kind = \"elevater\"", "elevater", &["no kind of load", "“elevator”"]),
    Mistake("positions/KX-7.toml", "overhauling = \"yes\"", "overhauling = true", "overhauling", &["true is no text", "write \"yes\""]),
    Mistake("positions/KX-7.toml", "{ value = \"31 A\", from", "{ valeu = \"31 A\", from", "valeu", &["unknown key “valeu”", "“value”"]),
    Mistake("positions/KX-7.toml", "60 A | 64 A", "60 A | 60 A", "60 A | 60 A", &["twice among"]),
    Mistake("positions/KX-7.toml", "need = \"held\"", "need = \"\"", "need = \"\"", &["blank", "\"?\""]),
    Mistake("positions/KX-7.toml", "lowest = \"20 Hz\"", "lowest = \"70 Hz\"", "70 Hz", &["above the highest"]),
    Mistake("positions/KX-7.toml", "torque = \"90 %\"", "torqe = \"90 %\"\ncurrent = \"9 A\"", "torqe", &["“torque”"]),
    Mistake("positions/KX-7.toml", "time = \"20..30 s\"", "speed = \"5 Hz\"", "[[duty]]\nspeed", &["“time” is missing in [[duty]]"]),
    Mistake("positions/KX-7.toml", "evidence/current.csv", "../../current.csv", "../../", &["leads out of the site"]),
    Mistake(
        "positions/KX-7.toml",
        "heat_sink = \"inside\"",
        "heat_sink = \"outdoors\"",
        "outdoors",
        &["no place of the heat sink", "inside, outside"],
    ),
    Mistake(
        "positions/KX-7.toml",
        "cooling = \"closed | fan\"",
        "cooling = \"closed | fans\"",
        "fans",
        &["no cooling of the box", "“fan”"],
    ),
    Mistake("positions/KX-7.toml", "\"90 m³/h\"", "\"90 m³\"", "90 m³\"", &["“m³”", "m³/h"]),
    Mistake("positions/KX-7.toml", "area = \"8 AWG\"", "area = \"8 A\"", "8 A\"", &["unit of electric current, not of"]),
    Mistake(
        "positions/KX-7.toml",
        "metal = \"copper\"",
        "metal = \"tin\"",
        "metal = \"tin\"",
        &["no metal of a conductor", "copper, aluminium"],
    ),
    Mistake("positions/KX-7.toml", "losses = \"65 W\"", "losses = \"65 kg\"", "65 kg", &["unit of mass, not of power"]),
    Mistake(
        "positions/KX-7.toml",
        "depth = \"120 mm\"",
        "depth = \"120 mm\"\ndeep = \"120 mm\"",
        "deep",
        &["unknown key “deep” in [[added]]", "depth, clear_ends"],
    ),
    // Decisions.
    Mistake("decisions.toml", "052/heavy", "052/hard", "052/hard", &["no candidate", "heavy"]),
    Mistake("decisions.toml", "rating/breakaway-short", "Rating too small", "Rating too", &["no name of a finding"]),
    Mistake("decisions.toml", "reason = \"the boot is emptied before each start, by interlock\"", "reason = \" \"", "reason", &["blank"]),
    Mistake("decisions.toml", "fact = \"load.current\"", "fact = \"load.curent\"", "load.curent", &["no fact", "“load.current”"]),
    Mistake("decisions.toml", "value = \"13..14 A\"", "value = \"13..14 V\"", "13..14 V", &["unit of voltage"]),
    Mistake("decisions.toml", "on = 2026-03-09", "on = 2026-03-09T08:00:00", "T08", &["without time"]),
    // The pack.
    Mistake("pack.toml", "series = \"quellmoor-q3\"", "series = \"quellmoor-q4\"", "quellmoor-q4", &["folder “quellmoor-q3”"]),
    Mistake("pack.toml", "[\"Q3 data sheet, rev. C\", \"Q3 mounting sheet, rev. A\"]", "[]", "documents", &["none is named"]),
    Mistake("pack.toml", "offered = true", "offered = \"yes\"", "offered", &["a text stands where true or false"]),
    Mistake("pack.toml", "combine = \"multiply\"", "combine = \"multiplied\"", "multiplied", &["“multiply”"]),
    Mistake("pack.toml", "\"5 min\"", "\"5 kg\"", "5 kg", &["unit of mass, not of time"]),
    Mistake("pack.toml", "smallest_motor = \"20 %\"", "smallest_motor = 20", "smallest_motor", &["outside what is sensible", "100 %"]),
    Mistake("pack.toml", "highest_frequency = \"300 Hz\"\n", "", "[motor]", &["“highest_frequency” is missing in [motor]"]),
    Mistake("pack.toml", "corner = ", "corned = ", "corned", &["“corner”"]),
    Mistake("classes.csv", "480,342 V,528 V", "480,528 V,342 V", "528 V", &["does not lie below"]),
    Mistake("ratings.csv", "040,B,480,light", "040,D,480,light", "040,D", &["no frame “D”", "expected one of B, C"]),
    Mistake("ratings.csv", "022,B,480,light", "022,B,408,light", "408", &["no voltage class “408”", "“480”"]),
    Mistake("ratings.csv", "052,C,480,heavy", "052,C,480,normal", "normal", &["no duty class", "light, heavy"]),
    Mistake("ratings.csv", "\"2,450\"\n052,", "\"USD 2450\"\n052,", "USD", &["no plain number"]),
    Mistake("ratings.csv", "080,C,480,heavy,68", "080,C,480,heavy,86", ",86,73", &["more for heavy duty"]),
    Mistake("ratings.csv", "022,B,480,heavy,18,20", "022,B,480,heavy,18,", "heavy,18,,10", &["input_current: this cell is blank"]),
    Mistake(
        "ratings.csv",
        "080,C,480,light,80,86,60,,-,",
        "080,C,480,light,80,86,60,,-,\n080,C,480,light,80,86,60,,-,",
        "080,C,480,light,80,86,60,,-,\n080,C,480,heavy",
        &["code, duty 080, light stands twice"],
    ),
    Mistake("ratings.csv", "052,C,480,light,61", "052,C,480,light,61 kW", "61 kW", &["unit of power, not of electric current"]),
    Mistake("frames.csv", "8 AWG,1/0 AWG", "2/0 AWG,1/0 AWG", "2/0", &["larger than terminal_largest"]),
    Mistake("frames.csv", "IP20,KB-1 to type 1,60", "IP20,,60", "IP20,,60", &["no kit is named"]),
    Mistake("frames.csv", "20,below,35", "20,under,35", "under", &["no side", "below, above, left, right"]),
    Mistake("frames.csv", "copper | aluminium", "copper | brass", "brass", &["no metal of a conductor", "copper, aluminium"]),
    Mistake("frames.csv", "50 mm,true", "50 mm,perhaps", "perhaps", &["true or false"]),
    Mistake("ratings.csv", "15,40,230", "15,40 V,230", "40 V", &["unit of voltage, not of power"]),
    Mistake("mountings.csv", "B,enclosed", "D,enclosed", "D,enclosed", &["no frame “D”", "expected one of B, C"]),
    Mistake("mountings.csv", "C,through-wall", "C,through-roof", "through-roof", &["no way of mounting", "“through-wall”"]),
    Mistake("mountings.csv", "35 %,IP54", "350 %,IP54", "350 %", &["outside what is sensible"]),
    Mistake("mountings.csv", "0,,100 %,,,\n", "0,,,,,\n", "B,side-by-side", &["heat_inside: this cell is blank"]),
    Mistake("holes.csv", "B,130,10,6 mm", "B,155,10,6 mm", "B,155", &["x: the hole lies outside its frame", "lower left corner"]),
    Mistake("holes.csv", "C,25,468", "C,25,481", "C,25,481", &["y: the hole lies outside its frame"]),
    Mistake("holes.csv", "C,195,468", "D,195,468", "D,195", &["no frame “D”"]),
    Mistake("holes.csv", "C,25,12,8.5 mm", "C,25,12,85 mm", "85 mm", &["outside what is sensible"]),
    Mistake("losses.csv", ",8 kHz,1.26", ",3 kHz,1.26", ",3 kHz", &["carrier: not above that of the row before", "rising"]),
    Mistake("losses.csv", "C,6 kHz", "c,6 kHz", "c,6 kHz", &["no frame “c”", "“C”"]),
    Mistake("losses.csv", ",2 kHz,88 %", ",2 kHz,8 %", ",8 %", &["outside what is sensible"]),
    Mistake("overloads.csv", "heavy,150 %,60 s", "heavy,50 %,60 s", ",50 %", &["outside what is sensible", "100 %"]),
    Mistake("overloads.csv", "light,110 %,60 s,10 min", "light,110 %,60 s,10 s", "10 s", &["before it is over"]),
    Mistake("overloads.csv", "light,125 %,3 s", "light,125 %,90 s", "90 s", &["longer than that of a smaller"]),
    Mistake("derates.csv", "air-temperature,,,50 °C,85 %", "air-temperature,,,30 °C,85 %", "30 °C", &["does not lie above"]),
    Mistake("derates.csv", "altitude,,,3000 m,80 %", "altitude,,,3000 m,120 %", "120 %", &["outside what is sensible"]),
    Mistake("derates.csv", "unbalance,,,3 %,90 %", "unbalance,,,,90 %", "unbalance,,,,", &["blank, but unbalance needs a ratio"]),
    Mistake("derates.csv", "side-by-side,,,,95 %", "side-by-side,,,10 mm,95 %", "10 mm", &["one factor without a curve"]),
    Mistake("derates.csv", "carrier,,,8 kHz,0.8", "carrier,,,8 km,0.8", "8 km", &["unit of length, not of frequency"]),
    Mistake("derates.csv", "single-phase,,,,60 %", "single-phase,X,,,60 %", "single-phase,X", &["no frame “X”"]),
    Mistake("derates.csv", "output-frequency,,,5 Hz,1", "output-frequency,,,5 Hz,0", "5 Hz,0", &["leaves no current"]),
    Mistake("code.csv", "class,7,2,24", "class,7,2,240", ",240,", &["“240” has 3 characters, its segment 2"]),
    Mistake("code.csv", "brake,9,1,N", "brake,9,2,N", "brake,9,2", &["stands elsewhere"]),
    Mistake(
        "code.csv",
        "encoder,10,1,0,without,\n",
        "encoder,10,1,0,without,\nend,10,1,x,x,\n",
        "end,10",
        &["begins inside segment “encoder”"],
    ),
    Mistake("code.csv", "fitted,M-E", "fitted,M-F", "M-F", &["no variant or module “M-F”", "“M-E”"]),
    Mistake("code.csv", "family,1,2", "family,zero,2", "zero", &["no whole number from 1"]),
    Mistake("modules.csv", "1 | 2,95", "1 | 3,95", "1 | 3", &["no slot “3”"]),
    Mistake("modules.csv", "input,1,140", "input,1,-140", "-140", &["below zero"]),
    Mistake("protections.csv", "040,fuse", "041,fuse", "041", &["no order code “041”"]),
    Mistake("protections.csv", "052,breaker", "052,fuse class J", "35 kA", &["code, device 052, fuse class J stands twice"]),
    Mistake("slots.csv", "C,2", "c,2", "c,2", &["no frame “c”", "“C”"]),
    Mistake("current.csv", "4.5,33", "0.4,33", "0.4,33", &["does not come after"]),
    Mistake("current.csv", "5,31.5", "5,-31.5", "-31.5", &["outside what is sensible"]),
    Mistake("current.csv", "0.5,61", "0.5,", "0.5,", &["blank"]),
];

/// Mistakes that hide others of their file, or that are told of the file as a whole (an empty mark).
const ALONE: &[Mistake] = &[
    Mistake("site.toml", "schema = 1\n", "", "#:schema", &["“schema” is missing"]),
    Mistake("site.toml", "schema = 1", "schema = 7\nnonsense = 3", "schema = 7", &["newer changeout", "refused"]),
    Mistake("site.toml", "schema = 1", "schema = 0", "schema = 0", &["whole number"]),
    Mistake(
        "site.toml",
        "name = \"Gravel works, line 2\"",
        "name = \"Gravel works, line 2",
        "Gravel",
        &["no closing quote", "the rest was read"],
    ),
    Mistake("site.toml", "[rates]", "[rates", "[rates", &["no closing bracket", "was not read"]),
    Mistake("site.toml", "[rates]\nelectrician = 72\nengineer = 95.5", "rates = 72", "rates = 72", &["a table is expected"]),
    Mistake("positions/KX-7.toml", "count = 1", "count = 1\ncount = 2", "count = 2", &["“count” stands twice"]),
    Mistake("positions/KX-7.toml", "count = 1", "count = one", "count = one", &["one stands without quotes", "\"one\""]),
    Mistake("positions/KX-7.toml", "tag = \"KX-7\"", "tag = \"KX/7\"", "KX/7", &["cannot be the name of a file"]),
    Mistake("positions/KX-7.toml", "tag = \"KX-7\"", "tag = \"KX-70\"", "KX-70", &["a file named “KX-7.toml”"]),
    Mistake("positions/KX-7.toml", "torque = \"90 %\"", "", "[[duty]]", &["neither torque nor current"]),
    Mistake("positions/KX-7.toml", "repeats = true\n", "", "[log]", &["“repeats” is missing in [log]"]),
    Mistake("positions/KX-7.toml", "value = \"31 A\", ", "", "{ from = \"measured\" }", &["“value” is missing"]),
    Mistake(
        "decisions.toml",
        "[[accepted]]",
        "[[chosen]]\ntag = \"KX-7\"\ncandidate = \"a/b/light\"\nby = \"x\"\non = 2026-01-01\n[[accepted]]",
        "tag = \"KX-7\"\ncandidate = \"a/b",
        &["tag KX-7 stands twice"],
    ),
    Mistake(
        "pack.toml",
        "[grounding]\nsolid = \"in\"\nhigh-resistance = \"out\"\ncorner = \"not-allowed\"",
        "",
        "#:schema",
        &["no supply grounding is named"],
    ),
    Mistake("ratings.csv", "input_current [A]", "input current [V]", "input current", &["no unit of electric current"]),
    Mistake("ratings.csv", ",losses [W]", ",loses [W]", "loses", &["unknown column “loses”", "“losses”"]),
    Mistake("ratings.csv", "losses [W],price", "losses [W],Losses [W]", "losses [W]", &["column “losses” stands twice"]),
    Mistake("ratings.csv", "class,duty", "class [V],duty", "class [V]", &["takes no unit"]),
    Mistake("ratings.csv", "\"2,450\"\n052,C,480,heavy", "2,450\n052,C,480,heavy", ",2,450", &["“450” stands under no column", "quotes"]),
    Mistake("ratings.csv", "080,C,480,heavy", "\"080,C,480,heavy", "\"080", &["never closed"]),
    Mistake("ratings.csv", "052,C,480,heavy", "\"052\"x,C,480,heavy", "\"052", &["behind the closing quote"]),
    Mistake("ratings.csv", "052,C,480,heavy", "052,B,480,heavy", "052,B", &["order code 052 has “C” above"]),
    Mistake("frames.csv", "150,330,210", "150,330", "150,330", &["this row has 27 cells, the header 28"]),
    Mistake("mountings.csv", "C,through-wall", "B,enclosed", "B,enclosed,130", &["frame, style B, enclosed stands twice"]),
    Mistake("positions/KX-7.toml", "losses = \"65 W\"\n", "", "[[added]]", &["“losses” is missing in [[added]]"]),
    Mistake("code.csv", "dash,6,1,-,a dash,\n", "", "class,7", &["character 6 is of no segment"]),
    Mistake("code.csv", "rating,3,3,,order code,\n", "rating,3,3,052,order code,\n", "", &["no segment for the rating"]),
    Mistake("variants.csv", "name,what,price\nbrake,brake chopper,190\n", "", "", &["has no header"]),
    Mistake("current.csv", "time [s]", "time", "0,0", &["has no unit"]),
];

fn base(file: &str) -> String {
    let of_pack = || quellmoor().into_iter().find(|(name, _)| name == file).map(|(_, text)| text);
    match file {
        "site.toml" => SITE.into(),
        "positions/KX-7.toml" => FULL.into(),
        "decisions.toml" => DECISIONS.into(),
        "current.csv" => LOG.into(),
        _ => of_pack().expect(file),
    }
}

fn read(file: &str, text: &str) -> Vec<Problem> {
    let source = source(file, text);
    match file {
        "site.toml" => read_site(&source).problems,
        "positions/KX-7.toml" => read_position(&source).problems,
        "decisions.toml" => read_decisions(&source).problems,
        "current.csv" => read_current_log(&source, false).problems,
        _ => {
            let mut texts = quellmoor();
            texts.iter_mut().filter(|(name, _)| name == file).for_each(|(_, own)| text.clone_into(own));
            let files: Vec<packs::PackFile<'_>> =
                texts.iter().map(|(name, text)| packs::PackFile { name, bytes: text.as_bytes() }).collect();
            read_pack(&files, "quellmoor-q3").problems
        }
    }
}

/// The line on which the mark's last line that is not blank begins; the file as a whole for an empty mark.
fn line_of(text: &str, mark: &str) -> u32 {
    if mark.is_empty() {
        return 0;
    }
    let at = text.find(mark).unwrap_or_else(|| panic!("{mark} is not in the text"));
    let skip = mark.len() - mark.trim_start().len();
    u32::try_from(text[..at + skip].matches('\n').count() + 1).expect("few lines")
}

impl Mistake {
    fn put_into(&self, text: &str) -> String {
        assert_eq!(text.matches(self.1).count().min(1), 1, "{}: “{}” is not there", self.0, self.1);
        text.replacen(self.1, self.2, 1)
    }

    fn is_told_by(&self, problem: &Problem, text: &str) -> bool {
        let told = format!("{}; {}", problem.message, problem.help);
        problem.line == line_of(text, self.3) && self.4.iter().all(|words| told.contains(words))
    }
}

#[test]
fn each_mistake_alone_gives_one_problem_at_its_line() {
    assert!(VALUES.len() + ALONE.len() >= 100);
    let mut wrong = String::new();
    for mistake in VALUES.iter().chain(ALONE) {
        let text = mistake.put_into(&base(mistake.0));
        let problems = read(mistake.0, &text);
        let spans = problems.iter().all(|p| p.span.is_some() || p.line == 0);
        if !(problems.len() == 1 && mistake.is_told_by(&problems[0], &text) && spans && &*problems[0].file == mistake.0) {
            wrong += &format!(
                "{} with “{}”, wanted line {} {:?}:\n{}",
                mistake.0,
                mistake.2,
                line_of(&text, mistake.3),
                mistake.4,
                shown(&problems)
            );
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn all_mistakes_of_a_file_are_told_at_once() {
    let mut files: Vec<&str> = VALUES.iter().map(|m| m.0).collect();
    files.dedup();
    for file in files {
        let own = || VALUES.iter().filter(|m| m.0 == file);
        let text = own().fold(base(file), |text, mistake| mistake.put_into(&text));
        let problems = read(file, &text);
        for mistake in own() {
            assert!(problems.iter().any(|p| mistake.is_told_by(p, &text)), "{file}: {:?}\n{}", mistake.4, shown(&problems));
        }
        let lines: Vec<u32> = problems.iter().map(|p| p.line).collect();
        assert!(lines.is_sorted(), "{file}: in the order of the text");
    }
}

#[test]
fn a_newer_file_is_refused_in_one_line() {
    let text = SITE.replace("schema = 1", "schema = 2").replace("\"480 V\"", "\"480 A\"");
    let read = read_site(&source("site.toml", &text));
    assert!(read.value.is_none());
    assert_eq!(read.problems.len(), 1, "{}", shown(&read.problems));
}

#[test]
fn a_duty_table_longer_than_allowed_is_refused_in_one_line() {
    let text = format!("schema = 1\ntag = \"A\"\n{}", "[[duty]]\ntime = \"1 s\"\ncurrent = \"1 A\"\n".repeat(41));
    let problems = read_position(&source("A.toml", &text)).problems;
    assert!(
        problems.len() == 1 && problems[0].message.contains("41 rows; 40 are the most") && problems[0].line == 123,
        "{}",
        shown(&problems)
    );
}

#[test]
fn mistakes_that_show_in_another_table_or_twice_are_told() {
    let duty = read("overloads.csv", &base("overloads.csv").replace("light,110 %,60 s,10 min\nlight,125 %,3 s,\n", ""));
    assert!(
        duty.len() == 1 && &*duty[0].file == "ratings.csv" && duty[0].message.contains("no overload point for light duty"),
        "{}",
        shown(&duty)
    );
    let code = read("code.csv", &base("code.csv").replace("rating,3,3", "rating,3,4"));
    assert!(code.len() == 2, "{}", shown(&code));
    assert!(
        code[0].message.contains("the rating has 4 characters here, but order code 022 has 3") && code[1].message.contains("begins inside")
    );
}

#[test]
fn strange_and_missing_files_of_a_pack_are_told() {
    let mut texts = quellmoor();
    texts.iter_mut().filter(|(n, _)| n == "overloads.csv").for_each(|(n, _)| "overload.csv".clone_into(n));
    texts.push(("notes.md".into(), "free".into()));
    let problems = crate::common::pack(&texts, "quellmoor-q3").problems;
    assert_eq!(problems.len(), 2, "{}", shown(&problems));
    assert!(problems[0].help.contains("“overloads”") && problems[1].message.contains("missing") && &*problems[1].file == "overloads.csv");
    let none = read_pack(&[], "x");
    assert!(none.value.is_none() && &*none.problems[0].file == "x/pack.toml");
}

#[test]
fn a_comma_between_semicolons_is_never_guessed() {
    let mut texts = crate::common::tarnfeld();
    texts.iter_mut().filter(|(n, _)| n == "ratings.csv").for_each(|(_, t)| *t = t.replace("40 A;44 A", "40,500 A;44 A"));
    let problems = crate::common::pack(&texts, "tarnfeld-t1").problems;
    assert!(problems.len() == 1 && problems[0].message.contains("comma") && problems[0].line == 2, "{}", shown(&problems));
}
