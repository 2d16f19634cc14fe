//! scratch
use std::time::Instant;
fn main() {
    let n = 8usize << 20;
    let rep = |s: &str| format!("schema = 1\ntag=\"A\"\n{}", s.repeat((n - 30) / s.len()));
    let mut uniq = String::from("schema = 1\ntag=\"A\"\n");
    let mut i = 0; while uniq.len() < n - 40 { uniq += &format!("k{i}=1\n"); i += 1; }
    let mut tabs = String::from("schema = 1\ntag=\"A\"\n");
    let mut i = 0; while tabs.len() < n - 40 { tabs += &format!("[t{i}.a]\n"); i += 1; }
    let mut dot = String::from("schema = 1\ntag=\"A\"\n");
    let mut i = 0; while dot.len() < n - 400 { dot += &format!("a.b.c.d.e.f.g.h.k{i}=1\n"); i += 1; }
    let one_mib = |s: &str| format!("schema = 1\ntag=\"A\"\n{}", s.repeat(((1 << 20) - 30) / s.len()));
    for (name, text) in [("duty", rep("[[duty]]\n")), ("nested aot", rep("[[supplies]]\n[[supplies.x]]\n")), ("uniq", uniq), ("tabs", tabs), ("dotted", dot),
        ("array", format!("schema=1\nnotes=[{}]", "\"a\",".repeat(n/5))), ("comments", rep("#\n")), ("bad lines 1M", one_mib("x = y z\n")), ("dup 1M", one_mib("count = 1\n")), ("dots", format!("schema=1\n{}=1", "a.".repeat(n/2-20)+"a")), ("ml", format!("schema=1\nx=\"\"\"{}", "\\\"".repeat(n/2-20))), ("open", format!("schema=1\nx={}", "[[{a=".repeat(n/5-20)))] {
        let s = packs::Source::new("A.toml", text);
        let t = Instant::now();
        let r = packs::read_position(&s);
        print!("{name}: position {:?} {} problems", t.elapsed(), r.problems.len());
        let t = Instant::now();
        let r = packs::read_site(&s);
        print!("; site {:?} {}", t.elapsed(), r.problems.len());
        let t = Instant::now();
        let r = packs::record(&s, "motor.current", "5 A", None);
        println!("; record {:?} {}", t.elapsed(), r.is_ok());
    }
    for (name, text) in [("csv quotes", format!("code,frame\n{}", "\"".repeat(n))), ("csv newlines", "\n".repeat(n)), ("csv commas", ",".repeat(n)), ("csv rows", "code,duty\n".to_owned() + &"1,light\n".repeat(n / 8)), ("header", "x,".repeat(n/2)), ("hash", "#\n".repeat(n/2)),
      ("refs", "code,frame,class,duty,current,input_current,label_power\n".to_owned() + &(0..90000).map(|i| format!("{i},f{i},c{i},light,5 A,5 A,5 kW\n")).collect::<String>())] {
        let frames: String = "frame,width,height,depth,mass,clear_above,clear_below,clear_side,enclosure,dc_terminals,chopper\n".to_owned() + &(0..50000).map(|i| format!("x{i},5 m,5 m,5 m,5 kg,1 m,1 m,1 m,IP20,absent,absent\n")).collect::<String>();
        let files = [packs::PackFile { name: "pack.toml", bytes: b"schema = 1" }, packs::PackFile { name: "ratings.csv", bytes: text.as_bytes() }, packs::PackFile { name: "code.csv", bytes: text.as_bytes() }, packs::PackFile { name: "frames.csv", bytes: frames.as_bytes() }];
        let t = Instant::now();
        let r = packs::read_pack(&files, "x");
        println!("{name}: {:?} {} problems", t.elapsed(), r.problems.len());
    }
    let log = "time [s],current [A]\n".to_owned() + &(0..999_999).map(|i| format!("{i},52.5\n")).collect::<String>();
    let s = packs::Source::new("l.csv", log);
    let t = Instant::now();
    let r = packs::read_current_log(&s, false);
    println!("log {:?} {}", t.elapsed(), r.value.map_or(0, |v| v.samples.len()));
}
