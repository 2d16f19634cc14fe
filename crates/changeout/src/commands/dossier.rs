//! `dossier`: every paper of the job as files, position by position.

use std::collections::BTreeMap;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use dossier::paper::Binder;
use job::assess::Input;
use output::sheets::{csv, sheets};
use plant::quantity::System;
use rayon::prelude::*;
use serde_json::json;

use super::assess::{SHOWN, load, no_such_position, progress};
use crate::disk::{self, Loaded};
use crate::problems::Failure;
use crate::show::{self, wrap};
use crate::{Common, End, date, say};

/// Which papers, and where they go.
#[derive(Args, Debug)]
pub(crate) struct Options {
    /// Site folder.
    site: PathBuf,
    /// Only this position.
    #[arg(long, value_name = "TAG")]
    position: Option<String>,
    /// Folder for the papers; "dossier" in the site's folder when left out.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Size of the sheets; letter for a site in US units, else a4.
    #[arg(long, value_enum, value_name = "SIZE")]
    paper: Option<Sheet>,
}

/// Size of the sheets.
#[derive(clap::ValueEnum, Clone, Copy, Debug)]
pub(crate) enum Sheet {
    /// 210 mm × 297 mm.
    A4,
    /// 8.5 in × 11 in.
    Letter,
}

/// Files of one position by their names, with "/" between folders.
pub(crate) type Files = BTreeMap<String, Vec<u8>>;

/// What was made of one position.
struct Made {
    binder: Binder,
    pages: usize,
    /// Names of all files.
    files: Vec<String>,
    /// Those that are new or different since the last time.
    changed: Vec<String>,
}

/// Positions that are made at the same time, at most: each takes about 300 MiB, and is made by several workers itself.
const AT_ONCE: usize = 4;
/// Folder of the copies of the site's files that the papers link to.
const INPUTS: &str = "inputs";

pub(crate) fn run(options: &Options, common: &Common) -> Result<End, Failure> {
    let loaded = load(&options.site, common)?;
    if let Some(tag) = options.position.as_deref().filter(|tag| loaded.positions.iter().all(|p| p.tag != *tag)) {
        return Err(no_such_position(&loaded, tag));
    }
    let folder = options.out.clone().unwrap_or_else(|| options.site.join("dossier"));
    let date = common.date.clone().unwrap_or_else(date::today);
    let Loaded { site, positions, packs, decisions, .. } = &loaded;
    let input = Input { site, positions, only: None, packs, decisions, date: &date, shown: SHOWN, searches: None };
    let size = size(site.units, options.paper);
    let tags: Vec<&str> =
        positions.iter().map(|p| p.tag.as_str()).filter(|tag| options.position.as_deref().is_none_or(|only| only == *tag)).collect();
    let bar = progress(tags.len() as u64);
    let one_of = |tag: &&str| {
        bar.set_message((*tag).to_owned());
        let made = job::papers::binder(input, tag).map(|binder| one(binder, &loaded, size, &folder));
        bar.inc(1);
        made
    };
    let mut made: Vec<Made> = Vec::with_capacity(tags.len());
    // Whoever waits for a part of one position would begin another, and all of them would be in memory at once.
    for some in tags.chunks(rayon::current_num_threads().clamp(1, AT_ONCE)) {
        made.extend(some.par_iter().filter_map(one_of).collect::<Result<Vec<_>, Failure>>()?);
    }
    bar.finish_and_clear();
    told(&made, &loaded, &folder, common)?;
    let settled = made.iter().all(|m| m.binder.verdict == "holds");
    Ok(if settled { End::Good } else { End::Unsettled })
}

/// The size of the sheets of a site.
pub(crate) const fn size(units: System, wanted: Option<Sheet>) -> output_pdf::Size {
    match (wanted, units) {
        (Some(Sheet::Letter), _) | (None, System::Us) => output_pdf::Size::Letter,
        _ => output_pdf::Size::A4,
    }
}

/// Makes and writes the files of one position.
fn one(binder: Binder, loaded: &Loaded, size: output_pdf::Size, folder: &Path) -> Result<Made, Failure> {
    let own = folder.join(file_name(&binder.tag));
    let (files, pages) = all_files(&binder, loaded.texts(), size)?;
    let mut changed = Vec::new();
    for (name, bytes) in &files {
        let path = own.join(name);
        if disk::has_contents(&path, bytes) {
            continue;
        }
        disk::make_folder(path.parent().unwrap_or(&own))?;
        disk::write_atomically(&path, bytes)?;
        changed.push(name.clone());
    }
    Ok(Made { binder, pages, files: files.into_keys().collect(), changed })
}

/// All files of one position with the one that holds them all, and how many pages they have.
pub(crate) fn all_files<'t>(
    binder: &Binder,
    texts: impl Iterator<Item = (&'t str, &'t str)> + Send,
    size: output_pdf::Size,
) -> Result<(Files, usize), Failure> {
    let (mut files, pages) = files(binder, texts, size)?;
    let zip = output::bundle::zip(&files).map_err(|e| refused(&binder.tag, &e))?;
    files.insert("all.zip".to_owned(), zip);
    Ok((files, pages))
}

/// What people call a thing is no name of a file.
fn file_name(name: &str) -> String {
    name.chars().map(|c| if c.is_alphanumeric() || c == '-' { c } else { '-' }).collect()
}

fn refused(tag: &str, problems: &dyn std::fmt::Display) -> Failure {
    Failure::Usage(format!("the papers of {tag} cannot be written: {problems}"))
}

/// All files of one position, and how many pages they have.
fn files<'t>(
    binder: &Binder,
    texts: impl Iterator<Item = (&'t str, &'t str)> + Send,
    size: output_pdf::Size,
) -> Result<(Files, usize), Failure> {
    // What stands beside the papers is written while they are set.
    let (papers, beside) = rayon::join(|| papers(binder, size), || beside(binder, texts));
    // Nobody waits for that.
    rayon::spawn(output_pdf::forget);
    let (papers, pages) = papers.map_err(|e| refused(&binder.tag, &e))?;
    let mut files = beside?;
    files.extend(papers);
    Ok((files, pages))
}

/// The PDF of all papers and one of each that says something, and how many pages the first has.
fn papers(binder: &Binder, size: output_pdf::Size) -> Result<(Files, usize), output_pdf::Failed> {
    let set = output_pdf::set(binder, size)?;
    let examined = binder.papers.iter().enumerate().filter(|(_, p)| p.not_examined.is_none());
    // The whole is the longest of all that is bound: it begins first.
    let bound: Vec<(String, Option<usize>)> = std::iter::once(("all-papers.pdf".to_owned(), None))
        .chain(examined.map(|(number, paper)| (format!("papers/{:02}-{}.pdf", number + 1, paper.name), Some(number))))
        .collect();
    let bind = |(name, number): (String, Option<usize>)| {
        let pdf = match number {
            None => set.all(Some(&format!("{INPUTS}/"))),
            Some(number) => set.paper(number, Some(&format!("../{INPUTS}/"))),
        };
        Ok((name, pdf?.bytes))
    };
    let files = bound.into_par_iter().with_max_len(1).map(bind).collect::<Result<Files, output_pdf::Failed>>()?;
    Ok((files, set.pages()))
}

/// What is written beside the papers: tables, drawings, texts for other programs, and the files that all came from.
fn beside<'t>(binder: &Binder, texts: impl Iterator<Item = (&'t str, &'t str)>) -> Result<Files, Failure> {
    let no = |problems: &dyn std::fmt::Display| refused(&binder.tag, problems);
    let mut files = Files::new();
    let sheets = sheets(binder);
    let title = format!("{} {}, {}", binder.site, binder.tag, binder.machine);
    files.insert("tables.xlsx".to_owned(), output::xlsx::xlsx(&sheets, &title, &binder.date).map_err(|e| no(&e))?);
    for sheet in &sheets {
        files.insert(format!("tables/{}.csv", sheet.name), csv(sheet).into_bytes());
    }
    for figure in binder.figures() {
        let name = file_name(&figure.name);
        let svg = output::svg::svg(&figure.drawing, &output::svg::Options::default()).map_err(|e| no(&e))?;
        let dxf = output::dxf::dxf(&figure.drawing).map_err(|e| no(&e))?;
        files.insert(format!("drawings/{name}.svg"), svg.into_bytes());
        files.insert(format!("drawings/{name}.dxf"), dxf.into_bytes());
    }
    for program in &binder.programs {
        let made = output::plcopen::Made {
            company: binder.site.clone(),
            by: "changeout".to_owned(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            date: binder.date.clone(),
        };
        let text = output::structured_text::structured_text(program).map_err(|e| no(&e))?;
        files.insert("network/old-to-new.st".to_owned(), text.into_bytes());
        files.insert("network/old-to-new.xml".to_owned(), output::plcopen::plcopen(program, &made).map_err(|e| no(&e))?.into_bytes());
    }
    for table in &binder.data {
        files.insert(format!("network/{}", table.file), super::words::csv(table).into_bytes());
    }
    for (name, text) in binder.settings.iter().flat_map(|s| output::settings::files(s, &binder.date)) {
        files.insert(format!("settings/{name}"), text.into_bytes());
    }
    let mut text = serde_json::to_string_pretty(binder).map_err(|e| no(&e))?;
    text.push('\n');
    files.insert("papers.json".to_owned(), text.into_bytes());
    for (name, text) in texts {
        if concerns(name, binder) {
            files.insert(format!("{INPUTS}/{name}"), text.as_bytes().to_vec());
        }
    }
    Ok(files)
}

/// Whether a file of the site belongs to the papers of a position: not the other positions, not the packs.
fn concerns(name: &str, binder: &Binder) -> bool {
    let linked = || {
        let links = binder.papers.iter().flat_map(dossier::paper::Paper::tables).flat_map(|t| &t.rows).flat_map(|r| &r.cells);
        links
            .filter_map(|c| if let dossier::paper::Cell::Words(runs) = c { Some(runs) } else { None })
            .flatten()
            .any(|run| matches!(&run.link, Some(dossier::paper::Link::File { file, .. }) if file == name))
    };
    name == "site.toml" || name == "decisions.toml" || linked()
}

fn told(made: &[Made], loaded: &Loaded, folder: &Path, common: &Common) -> Result<(), Failure> {
    let mut out = say::out();
    if common.json {
        let positions: Vec<_> = made
            .iter()
            .map(|m| {
                let papers: Vec<_> = m
                    .binder
                    .papers
                    .iter()
                    .map(|p| {
                        json!({
                            "name": p.name, "title": p.title, "revision": p.revision, "fingerprint": p.fingerprint,
                            "not_examined": p.not_examined, "reads": p.reads,
                        })
                    })
                    .collect();
                json!({ "tag": m.binder.tag, "pages": m.pages, "papers": papers, "files": m.files, "changed": m.changed })
            })
            .collect();
        let value = json!({ "folder": folder, "positions": positions, "problems": loaded.found.json() });
        serde_json::to_writer_pretty(&mut out, &value).map_err(io::Error::from)?;
        writeln!(out)?;
        return Ok(out.flush()?);
    }
    let mut table = show::table();
    table.set_header(["position", "papers", "pages", "files", "new or different", "not examined"]);
    for m in made {
        let missing: Vec<&str> = m.binder.papers.iter().filter(|p| p.not_examined.is_some()).map(|p| p.title.as_str()).collect();
        let papers = m.binder.papers.len() - missing.len();
        table.add_row([
            m.binder.tag.clone(),
            papers.to_string(),
            m.pages.to_string(),
            m.files.len().to_string(),
            m.changed.len().to_string(),
            missing.join("; "),
        ]);
    }
    show::print_table(&mut out, &table)?;
    writeln!(out)?;
    wrap(
        &mut out,
        "",
        &format!("Written to {}: of each position all-papers.pdf first, then its papers, tables, drawings and all.zip.", folder.display()),
    )?;
    wrap(&mut out, "", "The papers claim no compliance. The unit's own instructions, the local code and licensed people decide.")?;
    Ok(out.flush()?)
}
