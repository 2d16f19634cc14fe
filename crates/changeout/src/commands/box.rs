//! `box`: a box with all the drives that go into it, its drawing and its heat.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use dossier::boxes::{Adapter, BoxReport, Heat, Layout};
use job::assess::Input;
use job::boxes::{names, report};
use plant::quantity::digits;
use serde_json::json;

use super::assess::{SHOWN, load};
use crate::disk::{self, Loaded};
use crate::problems::Failure;
use crate::show::{self, wrap};
use crate::{Common, End, date, say};

/// Which box, and where its drawings go.
#[derive(Args, Debug)]
pub(crate) struct Options {
    /// Site folder.
    site: PathBuf,
    /// Name of the box in site.toml, or tag of a drive without one; all boxes when left out.
    name: Option<String>,
    /// Write the drawing of each box as SVG and DXF (1:1, mm) into this folder.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Print the working of the heat balance and of the adapter plates, step by step.
    #[arg(long)]
    working: bool,
}

pub(crate) fn run(options: &Options, common: &Common) -> Result<End, Failure> {
    let loaded = load(&options.site, common)?;
    let date = common.date.clone().unwrap_or_else(date::today);
    let Loaded { site, positions, packs, decisions, .. } = &loaded;
    let input = Input { site, positions, only: None, packs, decisions, date: &date, shown: SHOWN, searches: None };
    let known = names(input);
    let wanted: Vec<&String> = known.iter().filter(|n| options.name.as_ref().is_none_or(|name| name == *n)).collect();
    if wanted.is_empty() {
        let asked = options.name.as_deref().unwrap_or_default();
        return Err(Failure::Usage(format!("no drive stands in a box “{asked}”; there are {}", known.join(", "))));
    }
    let reports: Vec<BoxReport> = wanted.iter().filter_map(|name| report(input, name)).collect();
    let mut files = Vec::new();
    if let Some(folder) = &options.out {
        for report in &reports {
            files.extend(draw(folder, report)?);
        }
    }
    let mut out = say::out();
    if common.json {
        let value = json!({ "boxes": reports, "files": files, "problems": loaded.found.json() });
        serde_json::to_writer_pretty(&mut out, &value).map_err(io::Error::from)?;
        writeln!(out)?;
    } else {
        for report in &reports {
            print(&mut out, report, options.working)?;
        }
        for file in &files {
            writeln!(out, "written {file}")?;
        }
    }
    out.flush()?;
    Ok(if reports.iter().all(|r| r.verdict == "holds") { End::Good } else { End::Unsettled })
}

/// Writes the drawing of a box; the names of the files.
fn draw(folder: &Path, report: &BoxReport) -> Result<Vec<String>, Failure> {
    // A name that people give a box is no name of a file.
    let stem = |name: &str| name.chars().map(|c| if c.is_alphanumeric() || c == '-' { c } else { '-' }).collect::<String>();
    let refused =
        |problems: &dyn std::fmt::Display| Failure::Usage(format!("the drawing of {} cannot be written: {problems}", report.name));
    let plate = report.drawing.iter().map(|drawing| (format!("box-{}", stem(&report.name)), drawing));
    let adapters = report.layout.iter().flat_map(|l| &l.adapters);
    let adapters = adapters.filter_map(|a| Some((format!("adapter-{}", stem(&a.tag)), a.drawing.as_ref()?)));
    let mut names = Vec::new();
    for (name, drawing) in plate.chain(adapters) {
        let svg = output::svg::svg(drawing, &output::svg::Options::default()).map_err(|p| refused(&p))?;
        let dxf = output::dxf::dxf(drawing).map_err(|p| refused(&p))?;
        for (extension, text) in [("svg", svg), ("dxf", dxf)] {
            let path = folder.join(format!("{name}.{extension}"));
            disk::make_folder(folder)?;
            disk::write_atomically(&path, text)?;
            names.push(path.display().to_string());
        }
    }
    Ok(names)
}

fn print(out: &mut impl Write, report: &BoxReport, working: bool) -> io::Result<()> {
    writeln!(out, "{}", "─".repeat(usize::from(show::WIDTH)))?;
    writeln!(out, "Box {}: {}\n", report.name, report.verdict.to_uppercase())?;
    for drive in &report.drives {
        writeln!(out, "  {}  {}", drive.tag, drive.candidate)?;
        wrap(out, "      ", &drive.outline)?;
        for finding in &drive.findings {
            let margin = show::margin_text(&finding.margin);
            let why = finding.reason.as_deref().filter(|_| finding.verdict != "holds" || margin == "—").unwrap_or_default();
            wrap(out, &format!("      {:<8} {:<33} {margin:<18} ", finding.verdict, finding.name), why)?;
            for remedy in finding.remedies.iter().filter(|r| r.taken) {
                wrap(out, "               taken: ", &remedy.what)?;
            }
        }
    }
    for (head, lines) in
        [("to measure first", &report.to_measure), ("taken for what is not exactly known", &report.taken), ("remarks", &report.remarks)]
    {
        list(out, head, lines)?;
    }
    if let Some(layout) = &report.layout {
        self::layout(out, layout, working)?;
    }
    if let Some(heat) = &report.heat {
        self::heat(out, heat, working)?;
    }
    list(out, "cautions", &report.cautions)?;
    wrap(
        out,
        "  ",
        "Work in a box is done dead: isolate, lock, prove, and measure the DC bus. The units' own instructions and the local code govern.",
    )?;
    writeln!(out)
}

fn list(out: &mut impl Write, head: &str, lines: &[String]) -> io::Result<()> {
    if lines.is_empty() {
        return Ok(());
    }
    writeln!(out, "\n  {head}")?;
    lines.iter().try_for_each(|line| wrap(out, "    · ", line))
}

fn layout(out: &mut impl Write, layout: &Layout, working: bool) -> io::Result<()> {
    writeln!(out, "\n  layout: {}", layout.outcome)?;
    wrap(out, "    ", &layout.says)?;
    if layout.outcome == "placed" && !layout.best {
        wrap(out, "    ", "(the search ended before it could show that no other layout is better)")?;
    }
    let mut table = show::table();
    table.set_header(["what", "left mm", "bottom mm", "width mm", "height mm", "stands", "to the door mm"]);
    for p in &layout.places {
        table.add_row([p.name.clone(), mm(p.left), mm(p.bottom), mm(p.width), mm(p.height), p.turned.clone(), mm(p.depth_left)]);
    }
    if !layout.places.is_empty() {
        show::print_table(out, &table)?;
    }
    if !layout.holes.is_empty() {
        writeln!(out, "\n  holes, {}", layout.datum)?;
        let mut table = show::table();
        table.set_header(["hole", "work", "x mm", "y mm", "diameter mm", "of", ""]);
        for h in &layout.holes {
            table.add_row([h.number.to_string(), h.work.clone(), mm(h.x), mm(h.y), mm(h.diameter), h.of.clone(), h.remark.clone()]);
        }
        show::print_table(out, &table)?;
        let distances: Vec<String> = layout.distances.iter().map(|d| format!("{}–{} {:.2}", d.from, d.to, d.straight)).collect();
        wrap(out, "    to measure after drilling, mm: ", &distances.join(", "))?;
    }
    list(out, "what would make room", &layout.ways_out)?;
    layout.adapters.iter().try_for_each(|adapter| self::adapter(out, adapter, working))
}

fn adapter(out: &mut impl Write, adapter: &Adapter, working: bool) -> io::Result<()> {
    let verb = if adapter.possible { "can be made" } else { "cannot be made so" };
    writeln!(out, "\n  adapter plate for {}: {verb}", adapter.tag)?;
    adapter.says.iter().try_for_each(|line| wrap(out, "    · ", line))?;
    if adapter.possible {
        let holes: Vec<String> =
            adapter.holes.iter().map(|h| format!("{} ({}; {}) ⌀{} {}", h.number, mm(h.x), mm(h.y), mm(h.diameter), h.work)).collect();
        wrap(out, "    holes from its lower left corner, mm: ", &holes.join(", "))?;
    }
    if working {
        show::steps(out, &adapter.working)?;
    }
    Ok(())
}

fn heat(out: &mut impl Write, heat: &Heat, working: bool) -> io::Result<()> {
    writeln!(out, "\n  heat")?;
    let watts = |w: Option<f64>| w.map_or("—".to_owned(), |w| format!("{} W", digits(w, 4)));
    let mut table = show::table();
    table.set_header(["what", "today", "afterwards", ""]);
    for row in &heat.rows {
        table.add_row([row.what.clone(), watts(row.before), watts(row.after), row.remark.clone()]);
    }
    table.add_row(["in the box".to_owned(), watts(heat.before), watts(Some(heat.after)), String::new()]);
    show::print_table(out, &table)?;
    heat.air.iter().chain(&heat.cooling).try_for_each(|line| wrap(out, "    · ", line))?;
    if working {
        show::steps(out, &heat.working)?;
    }
    Ok(())
}

fn mm(length: f64) -> String {
    format!("{length:.1}")
}
