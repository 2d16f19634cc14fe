//! Files that no person types: too large, no text, links in circles, ways out of the folder. The program says so and goes on or stops.

use std::fs;

use crate::site::{Site, list, run, text};

#[test]
fn a_file_that_is_no_text_is_named_and_the_rest_still_checked() {
    for (bytes, words) in [
        (&b"schema = 1\ntag = \"\xff\xfe\"\n"[..], "UTF-8"),
        (b"\xff\xfes\0c\0h\0", "UTF-16"),
        (b"\0\0\0\0\0\0", ""),
        (b"\x7fELF\x02\x01\x01\0\0\0\0\0\xff", ""),
    ] {
        let site = Site::demo();
        site.write("positions/XX-1.toml", bytes);
        site.edit("positions/BE-101.toml", "count = \"1\"", "count = \"1 A\"");
        run(["check", site.path()]).ends(2).says(&["positions/XX-1.toml", words, "count: “A”"]);
        let json = run(["check", site.path(), "--json"]).ends(2).json();
        assert!(list(&json, "problems").iter().any(|p| text(p, "file") == "positions/XX-1.toml"), "{json}");
        run(["assess", site.path()]).ends(2).says(&["positions/XX-1.toml"]);
    }
}

#[test]
fn empty_files_say_what_is_missing() {
    let site = Site::demo();
    site.write("positions/XX-1.toml", "");
    run(["check", site.path()]).ends(2).says(&["positions/XX-1.toml", "“schema” is missing", "“tag” is missing"]);
    site.write("positions/XX-1.toml", "\n\n# nothing but a remark\n");
    run(["check", site.path()]).ends(2).says(&["“tag” is missing"]);
    site.remove("positions/XX-1.toml");
    for name in ["site.toml", "packs/wendle/pack.toml", "packs/wendle/ratings.csv", "evidence/be-101-clamp.csv"] {
        let kept = site.read(name);
        site.write(name, "");
        run(["check", site.path()]).ends(2).says(&[name]);
        site.write(name, kept);
    }
    run(["check", site.path()]).ends(0);
}

#[test]
fn a_file_of_twenty_megabytes_is_not_read() {
    let site = Site::demo();
    let name = "positions/XX-1.toml";
    site.write(name, "# all work and no play\n".repeat(20_000_000 / 23));
    run(["check", site.path()]).ends(2).says(&[name, "most that is read"]);
    run(["check", site.file(name).to_str().unwrap()]).ends(2).says(&["most that is read"]);
    run(["assess", site.path()]).ends(2);
    site.remove(name);
    site.write("packs/wendle/ratings.csv", "a,b,c\n".repeat(20_000_000 / 6));
    run(["check", site.path()]).ends(2).says(&["packs/wendle/ratings.csv"]);
}

#[test]
fn floods_of_mistakes_and_deep_nests_end_soon() {
    let site = Site::demo();
    let head = "schema = 1\ntag = \"XX-1\"\n";
    for body in [
        format!("machine = \"{}\" x", "x".repeat(60_000)),
        format!("machine = {}", "[".repeat(200_000)),
        format!("machine = {}", "{a=".repeat(100_000)),
        (0..50_000).map(|i| format!("key{i} = {i}\n")).collect(),
        "[motor]\npower = \"1 hp\"\n".repeat(20_000),
        "=\n".repeat(100_000),
        "\"".repeat(100_000),
    ] {
        site.write("positions/XX-1.toml", format!("{head}{body}"));
        let told = run(["check", site.path()]).ends(2).says(&["positions/XX-1.toml"]);
        assert!(told.err.len() < 2_000_000, "{} bytes of report", told.err.len());
    }
}

#[test]
fn a_mistake_far_to_the_right_is_shown() {
    let site = Site::demo();
    site.write("positions/XX-1.toml", format!("schema = 1\ntag = \"XX-1\"\n[{}]\n", "a.".repeat(100_000)));
    run(["check", site.path()]).ends(2).says(&["positions/XX-1.toml"]);
}

#[test]
fn texts_of_a_site_send_no_commands_to_the_terminal() {
    let site = Site::demo();
    site.edit("positions/BE-101.toml", "machine = \"Bucket", "machine = \"\\u001b]0;owned\\u0007\\u001b[2JBucket");
    for command in [&["check", site.path()][..], &["assess", site.path()], &["survey", site.path(), "BE-101"]] {
        let told = run(command).text();
        assert!(!told.contains('\u{1b}') && !told.contains('\u{7}'), "{command:?} passes control characters on");
    }
}

#[test]
fn a_folder_in_the_place_of_a_file_and_missing_files_are_told() {
    let site = Site::demo();
    let missing = |name: &str| site.file(name).to_str().unwrap().to_owned();
    run(["check", &missing("positions/ZZ-9.toml")]).ends(2).says(&["ZZ-9.toml"]);
    run(["check", &missing("no/such/folder")]).ends(2).says(&["no/such/folder"]);
    run(["check", &missing("README.md")]).ends(2).says(&["README.md"]);
    for command in ["assess", "survey"] {
        let more = if command == "survey" { &["BE-101"][..] } else { &[] };
        run([command, &missing("nowhere")].into_iter().chain(more.iter().copied())).ends(2).says(&["nowhere", "site.toml"]);
        let json = run([command, &missing("nowhere"), "--json"].into_iter().chain(more.iter().copied())).ends(2).json();
        assert!(text(&json, "error").contains("nowhere"));
    }
    site.remove("site.toml");
    fs::create_dir(site.file("site.toml")).unwrap();
    run(["assess", site.path()]).ends(2).says(&["site.toml"]);
    fs::remove_dir(site.file("site.toml")).unwrap();
    site.write("site.toml", Site::demo().read("site.toml"));
    site.remove("evidence/be-101-clamp.csv");
    run(["check", site.path()]).ends(2).says(&["positions/BE-101.toml", "evidence/be-101-clamp.csv", "not there"]);
    fs::create_dir(site.file("evidence/be-101-clamp.csv")).unwrap();
    run(["check", site.path()]).ends(2).says(&["positions/BE-101.toml", "evidence/be-101-clamp.csv"]);
}

#[test]
fn a_log_outside_the_site_is_refused() {
    for path in ["../../etc/passwd", "/etc/passwd", "evidence/../../x.csv", "..\\\\x.csv", "C:/x.csv", ".."] {
        let site = Site::demo();
        site.append("positions/BD-808.toml", &format!("\n[log]\ncurrent = \"{path}\"\nrepeats = true\n"));
        let told = run(["check", site.path()]).ends(2).says(&["positions/BD-808.toml:23:", "current"]);
        assert!(!told.text().contains("root:"), "{}", told.text());
        assert!(told.err.contains("out of the site's folder"), "{path}: {}", told.err);
        run(["assess", site.path()]).ends(2);
    }
}

#[cfg(unix)]
mod links {
    use std::os::unix::fs::symlink;

    use super::*;

    #[test]
    fn links_in_circles_are_told_beside_the_other_mistakes() {
        let site = Site::demo();
        symlink("XX-1.toml", site.file("positions/XX-1.toml")).unwrap();
        run(["check", site.path()]).ends(2).says(&["positions/XX-1.toml"]);
        site.edit("positions/BE-101.toml", "count = \"1\"", "count = \"1 A\"");
        run(["check", site.path()]).ends(2).says(&["positions/XX-1.toml", "count: “A”"]);
    }

    #[test]
    fn folders_in_circles_come_to_an_end() {
        let site = Site::demo();
        symlink(".", site.file("packs/again")).unwrap();
        run(["check", site.path()]).ends(2).says(&["again"]);
        fs::remove_file(site.file("packs/again")).unwrap();
        symlink("..", site.file("positions/up")).unwrap();
        symlink("round", site.file("evidence/round")).unwrap();
        run(["check", site.path()]).ends(0);
        // A folder of positions that cannot be entered must not pass for a site without positions.
        fs::rename(site.file("positions"), site.file("kept")).unwrap();
        symlink("positions", site.file("positions")).unwrap();
        run(["assess", site.path()]).ends(2).says(&["positions"]);
    }

    #[test]
    fn a_link_keeps_being_one_when_its_file_is_written() {
        let site = Site::demo();
        site.write("elsewhere/BD-808.toml", site.read("positions/BD-808.toml"));
        site.remove("positions/BD-808.toml");
        symlink("../elsewhere/BD-808.toml", site.file("positions/BD-808.toml")).unwrap();
        run(["record", site.path(), "BD-808", "stop.need", "free"]).ends(0);
        assert!(site.read("elsewhere/BD-808.toml").contains("need = \"free\""));
        assert!(fs::symlink_metadata(site.file("positions/BD-808.toml")).unwrap().is_symlink());
    }

    #[test]
    fn a_link_out_of_the_site_shows_nothing_of_what_lies_there() {
        let (site, secret) = (Site::demo(), Site::nowhere());
        secret.write("keys.csv", "my-secret-key,and-another\n1,2\n");
        symlink(secret.file("keys.csv"), site.file("evidence/log.csv")).unwrap();
        site.append("positions/BD-808.toml", "\n[log]\ncurrent = \"evidence/log.csv\"\nrepeats = true\n");
        let told = run(["check", site.path()]).ends(2).says(&["evidence/log.csv"]);
        assert!(!told.text().contains("my-secret-key"), "{}", told.text());
    }

    #[test]
    fn a_pipe_among_the_files_does_not_stop_the_program_for_ever() {
        let site = Site::demo();
        let made = std::process::Command::new("mkfifo").arg(site.file("positions/XX-1.toml")).status();
        assert!(made.is_ok_and(|s| s.success()), "mkfifo");
        run(["check", site.path()]).ends(2).says(&["positions/XX-1.toml"]);
    }
}
