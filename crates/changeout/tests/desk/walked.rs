//! The desk in a real browser: every page with axe-core and at 360 px, the job walked through, the keyboard alone, two windows, an
//! edit in an editor, a print. `cargo xtask test` provides browser and axe-core; without them these tests stay out.

use super::browser::{Browser, ENTER, TAB};
use super::open::Open;

/// Every kind of page, with pictures' names.
const PAGES: &[(&str, &str)] = &[
    ("site", "/"),
    ("site-filtered", "/?q=mill&verdict=depends&sort=cost"),
    ("answer", "/at/BD-808"),
    ("answer-holds", "/at/BE-101"),
    ("found", "/at/AF-204/found"),
    ("found-duty", "/at/MX-603/found"),
    ("found-known", "/at/BE-101/found"),
    ("found-hoist", "/at/BH-301/found"),
    ("replacement", "/at/AF-204/replacement"),
    ("findings", "/at/BD-808/findings"),
    ("replacement-hoist", "/at/BH-301/replacement"),
    ("findings-hoist", "/at/BH-301/findings"),
    ("finding", "/at/AF-204/finding/speed/top-speed-short"),
    ("finding-holds", "/at/BE-101/finding/rating/overload-short"),
    ("answer-hoist", "/at/BH-301"),
    ("try", "/at/AF-204/try?fact=speed.highest&value=60+Hz"),
    ("box", "/at/BE-101/box"),
    ("box-hoist", "/at/BH-301/box"),
    ("rating", "/at/BE-101/rating"),
    ("rating-hoist", "/at/BH-301/rating"),
    ("rating-open", "/at/ML-701/rating"),
    ("power", "/at/BE-101/power"),
    ("power-spectrum", "/at/AF-204/power"),
    ("power-open", "/at/BD-808/power"),
    ("power-hoist", "/at/BH-301/power"),
    ("power-working", "/at/BE-101/power/harmonics/4"),
    ("wires", "/at/BE-101/wires"),
    ("wires-many-parts", "/at/AF-204/wires"),
    ("wires-filtered", "/at/BH-301/wires?action=interposed"),
    ("wires-none", "/at/SF-512/wires"),
    ("settings", "/at/BE-101/settings"),
    ("settings-none", "/at/SF-512/settings"),
    ("cutover", "/at/BE-101/cutover"),
    ("cutover-open", "/at/BD-808/cutover"),
    ("papers", "/at/BE-101/papers"),
    ("cutover-late", "/at/BE-101/cutover?now=03:30"),
    ("words", "/at/SF-512/words"),
    ("words-none", "/at/BE-101/words"),
    ("behaviour", "/at/BE-101/behaviour"),
    ("behaviour-hoist", "/at/BH-301/behaviour"),
    ("behaviour-open", "/at/BD-808/behaviour"),
    ("history", "/history"),
    ("history-of", "/at/BE-101/history"),
    ("files", "/files"),
    ("file", "/files/positions/BE-101.toml"),
    ("breakdown", "/breakdown"),
    ("add", "/add"),
    ("import", "/import"),
    ("trouble", "/at/NO-1"),
];

/// Rules of axe-core, as its `runOnly`: all that WCAG AA asks for, and good practice.
const EVERY_RULE: &str = "{ type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }";
/// Those that colours and sizes decide.
const OF_THE_LOOK: &str = "{ type: 'rule', values: ['color-contrast', 'target-size', 'link-in-text-block', 'scrollable-region-focusable', 'css-orientation-lock'] }";

fn url(desk: &Open, path: &str) -> String {
    format!("http://{}{path}", desk.host)
}

/// Waits until the page's own script runs and nothing is being worked out any more.
fn settled(browser: &Browser) {
    browser.until("document.readyState === 'complete' && !document.querySelector('[data-pending]')");
}

#[test]
#[ignore = "needs a browser and axe-core: cargo xtask test"]
fn browser_every_page_passes_axe_core_fits_360_px_and_raises_no_complaint() {
    let axe = std::fs::read_to_string(std::env::var_os("CHANGEOUT_AXE").expect("CHANGEOUT_AXE names axe.min.js")).unwrap();
    let desk = Open::demo();
    // So that the history has something to show.
    desk.send("/at/BE-101/found", &[("by", "M. Truscott"), ("v:load.current", "49 A"), ("w:load.current", "50.2 A")]);
    desk.send("/at/BE-101/found.json", &[("by", "R. Kestle"), ("v:load.current", "48 A"), ("w:load.current", "50.2 A")]);
    let browser = Browser::start();
    let mut wrong = Vec::new();
    for (name, path) in PAGES {
        // The marks and words of a page are the same in every look: the first is held against all rules, the others against those that
        // a look can break.
        for (look, width, rules) in [("", 1280, EVERY_RULE), ("dark", 360, OF_THE_LOOK), ("large", 360, OF_THE_LOOK)] {
            browser.size(width, 900);
            browser.go(&url(&desk, path));
            looked_at(&browser, &axe, &format!("{name}-{width}"), look, rules, &mut wrong);
        }
        // A page that is not there is told by the browser too.
        wrong.extend(browser.complaints().into_iter().filter(|c| *name != "trouble" || !c.contains("404")).map(|c| format!("{name}: {c}")));
    }
    // A wall of a screen, and dark at the desk.
    for (name, path) in PAGES.iter().filter(|(name, _)| ["site", "answer", "power", "wires", "found"].contains(name)) {
        for (look, width) in [("", 3840), ("dark", 1280)] {
            browser.size(width, 900);
            browser.go(&url(&desk, path));
            looked_at(&browser, &axe, &format!("{name}-{width}"), look, OF_THE_LOOK, &mut wrong);
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What sticks out at the side of the page, if anything does.
fn sticks_out(browser: &Browser) -> Option<String> {
    let beyond = browser.run("return document.documentElement.scrollWidth - document.documentElement.clientWidth");
    let widest = || {
        browser.run(
            "const w = document.documentElement.clientWidth; return [...document.querySelectorAll('main *')].filter(e => e.getBoundingClientRect().right > w + 1).slice(0, 3).map(e => e.outerHTML.slice(0, 160)).join('\\n')",
        )
    };
    (beyond != 0).then(|| format!("{beyond} px stick out: {}", widest()))
}

/// Holds the page that is shown against axe-core in one look, looks whether something sticks out at its side, and takes a picture.
fn looked_at(browser: &Browser, axe: &str, name: &str, look: &str, rules: &str, wrong: &mut Vec<String>) {
    settled(browser);
    browser.run(&format!("document.documentElement.className = '{look}'"));
    wrong.extend(sticks_out(browser).map(|what| format!("{name} {look}: {what}")));
    browser.run(axe);
    let found = browser.run_later(&format!(
        "const done = arguments[arguments.length - 1]; axe.run(document, {{ runOnly: {rules} }}).then(r => done(r.violations.map(v => v.id + ': ' + v.help + ' ' + v.nodes.slice(0, 3).map(n => n.html.slice(0, 200)).join(' ')).join('\\n')))"
    ));
    if found != "" {
        wrong.push(format!("{name} {look}: {}", found.as_str().unwrap_or("axe-core did not answer")));
    }
    browser.picture(&format!("{name}{}{look}", if look.is_empty() { "" } else { "-" }));
}

#[test]
#[ignore = "needs a browser and axe-core: cargo xtask test"]
fn browser_what_forms_are_answered_with_passes_axe_core_too() {
    let axe = std::fs::read_to_string(std::env::var_os("CHANGEOUT_AXE").expect("CHANGEOUT_AXE names axe.min.js")).unwrap();
    let desk = Open::demo();
    let browser = Browser::start();
    let mut wrong = Vec::new();
    // A form is sent as it stands, whatever the browser would ask for first.
    let send = |form: &str, fields: &[(&str, &str)]| {
        let put: String = fields.iter().map(|(name, value)| format!("f.querySelector(\"[name='{name}']\").value = {value:?};")).collect();
        browser.run(&format!(
            "const f = document.querySelector({form:?}); f.noValidate = true; {put} f.requestSubmit(f.querySelector('button[type=submit]'))"
        ));
    };
    for (name, path, form, fields, then) in [
        ("found-wrong", "/at/AF-204/found", "form[data-check]", &[("v:speed.highest", "60 A"), ("by", " ")][..], ".wrong"),
        ("breakdown-wrong", "/breakdown", "form.breakdown", &[("tag", "BE-101"), ("motor.power", "75 pferde")], ".wrong"),
        ("add-wrong", "/add", "main form", &[("tag", "a b")], "main"),
        ("import-none", "/import", "main form", &[], ".wrong"),
        (
            "import-preview",
            "/import",
            "main form",
            &[("pasted", "tag,machine,motor.power [hp],colour\nP-1,Pump,40,blue\nP-2,Fan,40 hq,\nbe-101,Twice,5,\n")],
            "form [name=list]",
        ),
        ("cutover-wrong", "/at/BE-101/cutover", "main form[method=post]", &[("by", " ")], ".wrong"),
        (
            "accept-wrong",
            "/at/AF-204/finding/speed/top-speed-short",
            "main form[method=post]",
            &[("by", "M. Truscott"), ("reason", " ")],
            "main",
        ),
        (
            "accepted",
            "/at/AF-204/finding/speed/top-speed-short",
            "main form[method=post]",
            &[("by", "M. Truscott"), ("reason", "The damper is set to it.")],
            "main",
        ),
    ] {
        browser.size(1280, 900);
        browser.go(&url(&desk, path));
        settled(&browser);
        browser.run("document.documentElement.dataset.before = 'yes'");
        send(form, fields);
        browser.until(&format!("!document.documentElement.dataset.before && document.querySelector({then:?})"));
        looked_at(&browser, &axe, &format!("{name}-1280"), "", EVERY_RULE, &mut wrong);
        browser.size(360, 900);
        looked_at(&browser, &axe, &format!("{name}-360"), "dark", OF_THE_LOOK, &mut wrong);
    }
    // A clash: somebody else was faster.
    browser.size(1280, 900);
    browser.go(&url(&desk, "/at/BE-101/found"));
    settled(&browser);
    desk.send("/at/BE-101/found", &[("by", "R. Kestle"), ("v:load.current", "51 A"), ("w:load.current", "50.2 A")]);
    send("form[data-check]", &[("v:load.current", "49 A"), ("by", "M. Truscott")]);
    browser.until("document.querySelector('[id=\"load.current\"] .wrong')");
    looked_at(&browser, &axe, "clash-1280", "", EVERY_RULE, &mut wrong);
    browser.size(360, 900);
    looked_at(&browser, &axe, "clash-360", "large", OF_THE_LOOK, &mut wrong);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The pictures of the README, cut out at what they show.
#[test]
#[ignore = "needs a browser: cargo xtask test"]
fn browser_pictures_of_the_readme() {
    let desk = Open::demo();
    let browser = Browser::start();
    browser.size(1180, 900);
    for (name, path, from, height) in [
        ("readme-site", "/", "body", 760.0),
        ("readme-rating", "/at/BE-101/rating", "body", 930.0),
        ("readme-wires", "/at/AF-204/wires", "main figure.wiring", 640.0),
        ("readme-power", "/at/AF-204/power", "figure.plot", 560.0),
    ] {
        browser.go(&url(&desk, path));
        settled(&browser);
        // A picture beyond the window has no scroll bar, so that lines would break otherwise than they are measured here.
        browser.run("document.documentElement.style.overflow = 'hidden'");
        let top = browser.run(&format!("return document.querySelector('{from}').getBoundingClientRect().top + scrollY - 8"));
        let top = top.as_f64().unwrap_or(0.0).max(0.0);
        browser.cut_out(name, [0.0, top, 1180.0, height]);
        assert!(browser.complaints().is_empty());
    }
}

/// Presses a key until the element of that selector has the focus.
fn tab_to(browser: &Browser, selector: &str) {
    for _ in 0..400 {
        if browser.run(&format!("return document.activeElement.matches({selector:?})")) == true {
            return;
        }
        browser.keys(TAB);
    }
    panic!("the keyboard does not reach {selector} at {}", browser.url());
}

#[test]
#[ignore = "needs a browser: cargo xtask test"]
fn browser_the_job_is_done_with_the_keyboard_alone() {
    let desk = Open::demo();
    let browser = Browser::start();
    browser.size(1280, 900);
    browser.go(&url(&desk, "/"));
    settled(&browser);
    // To the position, to its survey, a reading with its origin, saved.
    tab_to(&browser, "main a[href='/at/AF-204']");
    browser.keys(ENTER);
    browser.until("location.pathname === '/at/AF-204' && document.querySelector('nav.tabs')");
    tab_to(&browser, "nav.tabs a[href='/at/AF-204/found']");
    browser.keys(ENTER);
    browser.until("location.pathname === '/at/AF-204/found' && document.querySelector('form[data-check]')");
    tab_to(&browser, "[name='by']");
    browser.keys("M. Truscott");
    tab_to(&browser, "[name='v:speed.highest']");
    browser.keys("60 Hz");
    browser.keys(ENTER);
    browser.until("location.search.includes('written=1')");
    assert!(desk.text("positions/AF-204.toml").contains("highest = { value = \"60 Hz\""));
    // To a finding, unfold nothing, accept it by name and reason.
    tab_to(&browser, "nav.tabs a[href='/at/AF-204/findings']");
    browser.keys(ENTER);
    browser.until("location.pathname === '/at/AF-204/findings' && document.querySelector('main table')");
    tab_to(&browser, "main table a[href*='/finding/']");
    browser.keys(ENTER);
    browser.until("location.pathname.includes('/finding/') && document.querySelector('main form[method=post]')");
    tab_to(&browser, "textarea[name=reason]");
    browser.keys("Looked at on site.");
    browser.keys(TAB);
    browser.keys(ENTER);
    browser.until("document.body.innerText.includes('Accepted by M. Truscott')");
    // A slider is dragged by its arrows.
    browser.go(&url(&desk, "/at/BD-808/try?fact=load.current"));
    settled(&browser);
    tab_to(&browser, "input[type=range]");
    browser.keys("\u{e014}\u{e014}");
    browser.until("document.querySelector('.outcome')");
    assert_eq!(browser.complaints(), [""; 0]);
}

#[test]
#[ignore = "needs a browser: cargo xtask test"]
fn browser_the_job_is_walked_from_survey_to_dossier() {
    let desk = Open::demo();
    let browser = Browser::start();
    browser.size(1280, 900);
    browser.go(&url(&desk, "/"));
    settled(&browser);
    browser.click("a[href='/at/AF-204']");
    browser.click("nav.tabs a[href='/at/AF-204/found']");
    // A wrong unit is told while it is typed.
    browser.fill("[name='v:speed.highest']", "60 A");
    browser.until("document.querySelector('[id=\"speed.highest\"] .reads.no')?.textContent.includes('A')");
    browser.fill("[name='v:speed.highest']", "60 Hz");
    browser.until("document.querySelector('[id=\"speed.highest\"] .reads:not(.no)')?.textContent === 'read as 60 Hz'");
    browser.fill("[name='by']", "M. Truscott");
    browser.click("button.main");
    browser.until("location.search.includes('written=1')");
    assert!(desk.text("positions/AF-204.toml").contains("highest = { value = \"60 Hz\""));
    // The fresh verdict stands on the page at once.
    browser.click("nav.tabs a[href='/at/AF-204/findings']");
    browser.until("document.querySelector('main h1')?.textContent.includes('AF-204')");
    browser.click("nav.tabs a[href='/at/AF-204/replacement']");
    browser.until("document.querySelectorAll('article.candidate').length > 1");
    // The name is remembered.
    assert_eq!(browser.run("return document.querySelector('article.candidate [name=by]').value"), "M. Truscott");
    browser.click("article.candidate form button");
    browser.until("document.body.innerText.includes('Chosen by M. Truscott')");
    power_is_walked(&browser);
    wires_are_walked(&browser, &desk);
    papers_are_walked(&browser);
    browser.click("nav.tabs a[href='/at/AF-204/history']");
    browser.until("document.querySelectorAll('.changes li').length === 2");
    browser.click(".changes li:last-child button");
    browser.until("document.querySelectorAll('.changes li').length === 3");
    assert!(desk.text("positions/AF-204.toml").contains("60..66 Hz"));
    assert_eq!(browser.complaints(), [""; 0]);
}

/// From a number of the power path to its working, and back to the fact that it rests on.
fn power_is_walked(browser: &Browser) {
    browser.click("nav.tabs a[href='/at/AF-204/power']");
    browser.until("document.querySelectorAll('table.power').length >= 6");
    browser.until("document.querySelectorAll('figure.plot svg').length >= 1");
    browser.click("table.power td[data-name='After'] a[href*='/power/']");
    browser.until("location.hash === '#after' && document.querySelector('#after .steps')");
    browser.click("#after td[data-name='Stands in'] a");
    browser.until("location.pathname.startsWith('/files/') && document.querySelector(':target')");
    browser.back();
    browser.back();
    browser.until("location.pathname === '/at/AF-204/power' && document.querySelector('table.power')");
}

/// Every conductor in the figure and in the table, those of one action alone, a proof unfolded.
fn wires_are_walked(browser: &Browser, desk: &Open) {
    let listed = desk.text("evidence/af-204-wires.csv").lines().filter(|l| !l.starts_with('#') && !l.trim().is_empty()).count() - 1;
    browser.click("nav.tabs a[href='/at/AF-204/wires']");
    browser.until(&format!("document.querySelectorAll('table.conductors tbody tr').length === {listed}"));
    browser.until(&format!("document.querySelectorAll('figure.wiring line.wire title').length === {listed}"));
    assert_eq!(browser.run("return document.querySelector('.proof').open"), false);
    browser.click(".proof summary");
    browser.until("document.querySelector('.proof').open && document.querySelector('.proof li').innerText.includes('against')");
    browser.run("document.querySelector('[name=action]').value = 'landed'");
    browser.click("form.filter button");
    browser.until("location.search.includes('action=landed')");
    browser.until("[...document.querySelectorAll('table.conductors td[data-name=Action]')].every(c => c.innerText === 'landed')");
    let left = browser.run("return document.querySelectorAll('table.conductors tbody tr').length");
    assert!(left.as_u64().is_some_and(|n| n > 0 && n < listed as u64), "{left} of {listed}");
}

/// The dossier, made and taken along.
fn papers_are_walked(browser: &Browser) {
    browser.click("nav.tabs a[href='/at/AF-204/papers']");
    browser.until("[...document.querySelectorAll('main th')].some(c => c.innerText === 'Wire crosswalk')");
    let papers = browser.taken_along("a[href='/at/AF-204/papers/all-papers.pdf']", "AF-204-all-papers.pdf");
    assert!(papers.starts_with(b"%PDF-") && papers.len() > 50_000, "{} bytes", papers.len());
    let all = browser.taken_along("a[href='/at/AF-204/papers/all.zip']", "AF-204-all.zip");
    assert!(all.starts_with(b"PK") && all.len() > papers.len() / 2, "{} bytes", all.len());
}

#[test]
#[ignore = "needs a browser: cargo xtask test"]
fn browser_charts_keep_readable_letters_at_360_px_and_are_pushed_aside_with_the_keyboard() {
    const RIGHT: &str = "\u{e014}";
    let desk = Open::demo();
    let browser = Browser::start();
    browser.size(360, 740);
    for path in ["/at/AF-204/power", "/at/BE-101/rating"] {
        browser.go(&url(&desk, path));
        settled(&browser);
        // The letters on the screen: 13 units of the picture, as wide as the picture is drawn.
        let letters = browser.run(
            "return Math.min(...[...document.querySelectorAll('figure.plot svg')].map(s => 13 * s.getBoundingClientRect().width / s.viewBox.baseVal.width))",
        );
        assert!(letters.as_f64().is_some_and(|px| px >= 10.0), "{path}: letters of {letters} px");
        let beyond = browser.run("return document.documentElement.scrollWidth - document.documentElement.clientWidth");
        assert_eq!(beyond, 0, "{path}: the page itself stays as wide as the window");
        browser.run("document.querySelector('figure.plot').focus()");
        assert_eq!(browser.run("return document.activeElement.className"), "plot");
        // A busy browser may drop a key that comes just after the focus; a person presses it again.
        browser.keys_until(RIGHT, "document.querySelector('figure.plot').scrollLeft > 0");
        browser.picture(&format!("chart-360{}", path.replace('/', "-")));
    }
    // Where files change meanwhile, the page renews itself and the reader stays where he was.
    let position = desk.text("positions/BE-101.toml");
    let stamp = browser.run("return document.body.dataset.stamp");
    browser.run("document.querySelector('main details').open = true");
    std::fs::write(desk.path("positions/BE-101.toml"), format!("{position}\n# looked at again\n")).unwrap();
    browser.until(&format!("document.body.dataset.stamp !== {stamp}"));
    assert_eq!(browser.run("return document.activeElement.className"), "plot");
    assert_eq!(browser.run("return document.querySelector('figure.plot').scrollLeft > 0"), true);
    assert_eq!(browser.run("return document.querySelector('main details').open"), true);
    // Drawings on plates likewise; theirs have a unit for each part of a millimetre, so that their width alone is held.
    for path in ["/at/BE-101/cutover", "/at/BE-101/box"] {
        browser.go(&url(&desk, path));
        settled(&browser);
        browser.until("[...document.querySelectorAll('figure.plate img')].every(i => i.complete && i.naturalWidth > 0)");
        let width = browser.run("return document.querySelector('figure.plate img').getBoundingClientRect().width");
        assert!(width.as_f64().is_some_and(|px| px >= 600.0), "{path}: {width} px wide");
        let beyond = browser.run("return document.documentElement.scrollWidth - document.documentElement.clientWidth");
        assert_eq!(beyond, 0, "{path}: the page itself stays as wide as the window");
    }
}

#[test]
#[ignore = "needs a browser: cargo xtask test"]
fn browser_breakdown_is_answered_with_the_keyboard_alone_at_360_px() {
    let desk = Open::demo();
    let browser = Browser::start();
    browser.size(360, 740);
    browser.go(&url(&desk, "/breakdown"));
    settled(&browser);
    browser.run("document.querySelector('[name=tag]').focus()");
    let typed = ["BD-900", "M. Truscott", "conveyor", "", "", "99 A", "75 hp", "460 V", "60 Hz", "1780 rpm", "88 A"];
    browser.keys(&typed.join(TAB));
    browser.keys(ENTER);
    browser.until("location.pathname === '/at/BD-900'");
    browser.until("document.body.innerText.includes('Measure next')");
    browser.picture("breakdown-answered-360");
    // The way to the content and round the page needs no mouse, and where one is, is seen.
    browser.go(&url(&desk, "/at/BD-900"));
    settled(&browser);
    browser.keys(TAB);
    assert_eq!(browser.run("return document.activeElement.className"), "skip");
    browser.keys(TAB);
    let ring = browser.run("return getComputedStyle(document.activeElement).outlineStyle");
    assert_eq!(ring, "solid");
    assert_eq!(browser.complaints(), [""; 0]);
}

#[test]
#[ignore = "needs a browser: cargo xtask test"]
fn browser_a_clash_of_two_windows_and_of_an_editor_is_shown() {
    const FIELD: &str = "[name='v:load.current']";
    let desk = Open::demo();
    let browser = Browser::start();
    browser.size(1280, 900);
    browser.go(&url(&desk, "/at/BE-101/found"));
    settled(&browser);
    browser.fill("[name='by']", "M. Truscott");
    browser.fill(FIELD, "49 A");
    let (first, second) = browser.further_window();
    browser.go(&url(&desk, "/at/BE-101/found"));
    browser.fill("[name='by']", "R. Kestle");
    browser.fill(FIELD, "51 A");
    browser.click("button.main");
    browser.until("location.search.includes('written=1')");
    browser.window(&first);
    browser.until("document.getElementById('notice').textContent.includes('have changed meanwhile')");
    // What is said again leaves the keyboard at the button that stands in it.
    browser.run("document.querySelector('#notice button').focus(); window.looks = performance.getEntriesByType('resource').length");
    browser.until("performance.getEntriesByType('resource').length >= window.looks + 2");
    assert_eq!(browser.run("return document.activeElement.parentElement.id"), "notice");
    browser.click("button.main");
    browser.until("document.querySelector('[id=\"load.current\"] .wrong')?.textContent.includes('51 A')");
    assert_eq!(browser.run(&format!("return document.querySelector(\"{FIELD}\").value")), "49 A");
    browser.picture("clash");
    browser.fill(FIELD, "49 A | 51 A");
    browser.click("button.main");
    browser.until("location.search.includes('written=1')");
    assert!(desk.text("positions/BE-101.toml").contains("\"49 A | 51 A\""));
    // The other window shows it by itself, and what an editor writes too.
    browser.window(&second);
    browser.until(&format!("document.querySelector(\"{FIELD}\")?.value === '49 A | 51 A'"));
    std::fs::write(desk.path("positions/BE-101.toml"), desk.text("positions/BE-101.toml").replace("49 A | 51 A", "44 A")).unwrap();
    browser.until(&format!("document.querySelector(\"{FIELD}\")?.value === '44 A'"));
}

#[test]
#[ignore = "needs a browser: cargo xtask test"]
fn browser_a_desk_that_ends_and_runs_again_is_told_and_loses_nothing_that_was_typed() {
    const FIELD: &str = "[name='v:load.current']";
    let mut desk = Open::demo();
    let browser = Browser::start();
    browser.size(1280, 900);
    browser.go(&url(&desk, "/at/BE-101/found"));
    settled(&browser);
    browser.fill("[name='by']", "M. Truscott");
    browser.fill(FIELD, "49 A");
    desk.kill();
    browser.until("document.getElementById('notice').textContent.includes('does not answer')");
    desk.again();
    browser.until("document.getElementById('notice').textContent === ''");
    assert_eq!(browser.run(&format!("return document.querySelector(\"{FIELD}\").value")), "49 A");
    browser.click("button.main");
    browser.until("location.search.includes('written=1')");
    assert!(desk.text("positions/BE-101.toml").contains("\"49 A\""));
}

#[test]
#[ignore = "needs a browser: cargo xtask test"]
fn browser_a_tried_reading_shows_at_once_what_it_settles() {
    let desk = Open::demo();
    let browser = Browser::start();
    browser.size(1280, 900);
    browser.go(&url(&desk, "/at/AF-204/try?fact=speed.highest"));
    settled(&browser);
    browser.fill("[name=value]", "60 Hz");
    browser.until("document.querySelector('.outcome [data-settles]')");
    // Dragged to the end of the range, the field says where it is.
    browser.run("const s = document.querySelector('input[type=range]'); s.value = s.max; s.dispatchEvent(new Event('input'))");
    browser.until("document.querySelector('[name=value]').value === '66 Hz' && document.querySelector('.outcome')");
    browser.fill("[name=value]", "60 A");
    browser.until("!document.querySelector('.outcome') && document.querySelector('main .wrong')");
    assert_eq!(browser.complaints(), [""; 0]);
    browser.reload();
}

#[test]
#[ignore = "needs a browser: cargo xtask test"]
fn browser_every_page_prints_as_tables_within_the_sheet_and_nothing_of_the_screen_with_it() {
    /// What only a screen needs, and heads of tables that are not to be seen.
    const WRONG: &str = "const seen = e => e.checkVisibility(); const all = s => [...document.querySelectorAll(s)];
        return [...all('button, .top a, .tabs a, .onward a').filter(seen), ...all('main thead').filter(e => !seen(e) || e.offsetHeight < 8)]
            .map(e => e.outerHTML.slice(0, 120)).join('\\n')";
    let desk = Open::demo();
    let browser = Browser::start();
    let mut wrong = Vec::new();
    for (name, path) in PAGES {
        browser.size(1280, 900);
        browser.on_paper(false);
        browser.go(&url(&desk, path));
        settled(&browser);
        // What a sheet of A4 has between margins of 12 mm: 186 mm of 96/25.4 px.
        browser.size(703, 1017);
        browser.on_paper(true);
        wrong.extend(sticks_out(&browser).map(|what| format!("{name}: {what}")));
        let left = browser.run(WRONG);
        if left != "" {
            wrong.push(format!("{name}: {}", left.as_str().unwrap_or_default()));
        }
        browser.picture(&format!("{name}-printed"));
        let pdf = browser.printed();
        assert!(pdf.starts_with(b"%PDF-") && pdf.len() > 5_000, "{path}: {} bytes", pdf.len());
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
