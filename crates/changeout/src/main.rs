//! The command line: reads arguments, hands each command to its own file, and turns results into exit codes.
//!
//! Exit codes: 0 all hold, 1 some fail or depend, 2 the input cannot be used.

mod commands;
mod date;
mod desk;
mod disk;
mod problems;
mod rehearse;
mod say;
mod show;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, Parser, Subcommand};

/// Replace obsolete AC motor drives: from a survey to a checked, priced answer.
///
/// This program computes; it decides nothing. It claims no compliance: the unit's own instructions, the local code and licensed
/// people decide what may be built and energised.
#[derive(Debug, Parser)]
#[command(version, max_term_width = 110)]
struct Cli {
    #[command(subcommand)]
    command: Command,
    #[command(flatten)]
    common: Common,
}

/// Options of every command.
#[derive(Args, Clone, Debug)]
struct Common {
    /// Print JSON instead of text.
    #[arg(long, global = true)]
    json: bool,
    /// Date of the papers (YYYY-MM-DD); today when left out.
    #[arg(long, global = true, value_name = "DATE")]
    date: Option<String>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Write the demo site into a folder and assess it.
    Demo {
        /// Folder to write; must not exist yet or be an earlier demo.
        #[arg(default_value = "demo-site")]
        folder: PathBuf,
    },
    /// Check every position of a site against the packs that may replace.
    Assess(commands::assess::Options),
    /// Run the control schemes of the old and the new drive side by side: where the new one acts differently, and what mends it.
    Behaviour(commands::behaviour::Options),
    /// Read files or folders and report everything that is wrong in them.
    Check {
        /// Site folders, pack folders, or single files.
        #[arg(required = true)]
        paths: Vec<PathBuf>,
    },
    /// Print the JSON Schema of a kind of file, for editors.
    Schema {
        /// site, position, decisions, pack or ticks; without it, the kinds are listed.
        kind: Option<String>,
    },
    /// Print the page of a finding, the entry of a concept, a fact or a caution; without a name, list them all.
    Explain {
        /// "rating/overload-short", "acceleration-ramp", "motor.current".
        name: Option<String>,
    },
    /// Run a calculation and print its working; without a name, list them all.
    Calc {
        /// Name of the calculation.
        name: Option<String>,
        /// Its inputs: key=value.
        #[arg(value_name = "KEY=VALUE")]
        inputs: Vec<String>,
    },
    /// Lay out a new site, position or pack.
    #[command(args_conflicts_with_subcommands = true)]
    New {
        /// Folder of the new site.
        site: Option<PathBuf>,
        #[command(subcommand)]
        what: Option<commands::new::What>,
    },
    /// Print what to read on site for a position, the reading that settles most first.
    Survey {
        /// Site folder.
        site: PathBuf,
        /// Tag of the position.
        tag: String,
    },
    /// Place the drives of a box on its plate, draw it, plan its holes and balance its heat.
    Box(commands::r#box::Options),
    /// Audit the power path, before and after: fault current, protection, conductors, harmonics, motor cable, braking.
    Power(commands::power::Options),
    /// Plan the night of the change-over: tasks with their way back, the chance of ending in time, the latest moment to turn back.
    Cutover(commands::cutover::Options),
    /// Write every paper of the job: PDF, tables, drawings, programs, and a ZIP of all.
    Dossier(commands::dossier::Options),
    /// Map the old drive's network words to a new drive, write the block that speaks for it, and prove it.
    Words(commands::words::Options),
    /// Carry every setting of the old drive over by its meaning: what to enter in the new one, in which order, and what is lost.
    Settings(commands::settings::Options),
    /// Land every conductor of the old drive at the new one: the proof of each, modules and parts, links, what must be so before it runs.
    Wires(commands::wires::Options),
    /// Serve a simulated drive with the pack's registers as a Modbus TCP server on this machine, to try a real master.
    Rehearse(commands::rehearse::Options),
    /// Open the desk: the site on a local web page, to see and to change it.
    Open(commands::open::Options),
    /// Write a reading into a position's file, keeping its comments and order.
    Record(commands::record::Record),
    /// Write into decisions.toml that a named person takes a finding on.
    Accept(commands::record::Accept),
    /// Write into decisions.toml which candidate a named person chose.
    Choose(commands::record::Choose),
}

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum End {
    /// Everything holds, or there was nothing to judge.
    Good,
    /// Something fails or depends.
    Unsettled,
    /// The input cannot be used.
    BadInput,
}

impl From<End> for ExitCode {
    fn from(end: End) -> Self {
        Self::from(match end {
            End::Good => 0,
            End::Unsettled => 1,
            End::BadInput => 2,
        })
    }
}

/// Stack of each worker, bytes: one that waits for a part of its work takes up other work meanwhile, so that papers of several positions may
/// be set on top of one another. Only what is used takes memory.
const WORKER_STACK: usize = 64 << 20;

fn main() -> ExitCode {
    let Cli { command, common } = Cli::parse();
    // It fails only where somebody set workers up before.
    let _ = rayon::ThreadPoolBuilder::new().stack_size(WORKER_STACK).build_global();
    match run(command, &common) {
        Ok(end) => end.into(),
        Err(failure) => {
            // A reader that went away (a pager that was closed) is no failure to speak of.
            if !failure.is_broken_pipe() {
                problems::print_failure(&failure, common.json);
            }
            End::BadInput.into()
        }
    }
}

fn run(command: Command, common: &Common) -> Result<End, problems::Failure> {
    if let Some(text) = common.date.as_deref().filter(|text| !date::is_date(text)) {
        return Err(problems::Failure::Usage(format!("“{text}” is no date; write it as 2026-03-31")));
    }
    match command {
        Command::Demo { folder } => commands::demo::run(&folder, common),
        Command::Assess(options) => commands::assess::run(&options, common),
        Command::Behaviour(options) => commands::behaviour::run(&options, common),
        Command::Box(options) => commands::r#box::run(&options, common),
        Command::Check { paths } => commands::check::run(&paths, common),
        Command::Schema { kind } => commands::schema::run(kind.as_deref()),
        Command::Explain { name } => commands::explain::run(name.as_deref(), common),
        Command::Calc { name, inputs } => commands::calc::run(name.as_deref(), &inputs, common),
        Command::New { site, what } => commands::new::run(site.as_deref(), what, common),
        Command::Survey { site, tag } => commands::survey::run(&site, &tag, common),
        Command::Cutover(options) => commands::cutover::run(&options, common),
        Command::Dossier(options) => commands::dossier::run(&options, common),
        Command::Power(options) => commands::power::run(&options, common),
        Command::Words(options) => commands::words::run(&options, common),
        Command::Settings(options) => commands::settings::run(&options, common),
        Command::Wires(options) => commands::wires::run(&options, common),
        Command::Rehearse(options) => commands::rehearse::run(&options, common),
        Command::Open(options) => commands::open::run(&options, common),
        Command::Record(options) => commands::record::record(&options, common),
        Command::Accept(options) => commands::record::accept(&options, common),
        Command::Choose(options) => commands::record::choose(&options, common),
    }
}
