//! What each crate may know: the "never" column of ARCHITECTURE.md, held against the dependencies that cargo resolves.
//! Dependencies of tests do not count.

use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

use serde_json::Value;

use super::Problems;
use crate::tree::{Tree, root};
use crate::{Failure, process};

/// Each crate of ours, and which others of ours it may reach. A new crate takes its place here.
const LAYERS: &[(&str, &[&str])] = &[
    ("plant", &[]),
    ("dossier", &[]),
    ("calc", &["plant"]),
    ("packs", &["plant"]),
    ("output", &["dossier"]),
    ("output-pdf", &["dossier", "output"]),
    ("transfer", &["calc", "dossier", "plant"]),
    ("findings", &["calc", "dossier", "plant", "transfer"]),
    ("job", &["calc", "dossier", "findings", "plant", "transfer"]),
    ("web", &["calc", "dossier", "findings", "job", "output", "packs", "plant", "transfer"]),
    ("changeout", &["calc", "dossier", "findings", "job", "output", "output-pdf", "packs", "plant", "transfer", "web"]),
    ("xtask", &["calc", "dossier", "findings", "plant", "transfer"]),
];

/// Crates of others that most of ours must not reach, and who may.
const KEPT_OUT: &[(&str, &[&str])] = &[
    ("clap", &["changeout"]),
    ("comfy-table", &["changeout"]),
    ("ctrlc", &["changeout"]),
    ("indicatif", &["changeout"]),
    ("miette", &["changeout"]),
    ("tempfile", &["changeout"]),
    ("axum", &["web", "changeout"]),
    ("maud", &["web", "changeout"]),
    ("tokio", &["web", "changeout"]),
    ("calamine", &["packs", "web", "changeout"]),
    ("rust_xlsxwriter", &["output", "output-pdf", "web", "changeout"]),
    ("typst", &["output-pdf", "changeout"]),
    ("serde", &["dossier", "output", "output-pdf", "packs", "transfer", "findings", "job", "web", "changeout", "xtask"]),
];

/// What needs what, without what only tests need.
#[derive(Debug, Default)]
struct Graph {
    /// Packages of this workspace.
    members: BTreeSet<String>,
    /// Direct dependencies by name; two versions of a package count as one.
    needs: BTreeMap<String, BTreeSet<String>>,
}

impl Graph {
    /// Asks cargo.
    fn resolved() -> Result<Self, Failure> {
        let about = process::output(Command::new("rustc").arg("-vV"))?;
        let host = about.lines().find_map(|l| l.strip_prefix("host: ")).unwrap_or_default();
        let arguments = ["metadata", "--format-version", "1", "--locked", "--filter-platform", host];
        Self::read(&process::output(&mut process::cargo(&root(), arguments))?)
    }

    /// From the JSON of `cargo metadata`.
    fn read(json: &str) -> Result<Self, Failure> {
        let metadata: Value = serde_json::from_str(json)?;
        let list = |value: &Value| value.as_array().cloned().unwrap_or_default();
        let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
        let names: BTreeMap<String, String> = list(&metadata["packages"]).iter().map(|p| (text(&p["id"]), text(&p["name"]))).collect();
        let name = |id: &Value| names.get(&text(id)).cloned().unwrap_or_default();
        let mut graph = Self { members: list(&metadata["workspace_members"]).iter().map(name).collect(), ..Self::default() };
        for node in list(&metadata["resolve"]["nodes"]) {
            let needs = graph.needs.entry(name(&node["id"])).or_default();
            for dependency in list(&node["deps"]) {
                // The kind of an ordinary dependency is null.
                if list(&dependency["dep_kinds"]).iter().any(|k| k["kind"].as_str() != Some("dev")) {
                    needs.insert(name(&dependency["pkg"]));
                }
            }
        }
        Ok(graph)
    }

    /// Everything that a package reaches, each with the package by which it was reached first.
    fn reach<'g>(&'g self, from: &'g str) -> BTreeMap<&'g str, &'g str> {
        let mut reached = BTreeMap::new();
        let mut open = vec![from];
        while let Some(package) = open.pop() {
            for needed in self.needs.get(package).into_iter().flatten() {
                if reached.insert(needed.as_str(), package).is_none() {
                    open.push(needed);
                }
            }
        }
        reached
    }

    fn problems(&self) -> Vec<String> {
        let mut problems = Vec::new();
        for member in &self.members {
            let Some((_, may)) = LAYERS.iter().find(|(name, _)| name == member) else {
                problems.push(format!("{member} is new: say in LAYERS (xtask/src/tidy/layers.rs) what it may know"));
                continue;
            };
            for (needed, by) in self.reach(member) {
                let by = if by == member { String::new() } else { format!(" (by {by})") };
                if self.members.contains(needed) && !may.contains(&needed) {
                    problems.push(format!("{member} must not know {needed}{by}"));
                }
                if KEPT_OUT.iter().any(|(kept, users)| *kept == needed && !users.contains(&member.as_str())) {
                    problems.push(format!("{member} must stay clear of {needed}{by}"));
                }
            }
        }
        problems
    }
}

/// Dependencies that must not be.
pub(super) fn broken(_: &Tree) -> Problems {
    Ok(Graph::resolved()?.problems())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn graph(arrows: &[(&str, &str)]) -> Graph {
        let mut graph = Graph { members: LAYERS.iter().map(|(name, _)| (*name).to_owned()).collect(), ..Graph::default() };
        for (from, to) in arrows {
            graph.needs.entry((*from).to_owned()).or_default().insert((*to).to_owned());
        }
        graph
    }

    #[test]
    fn arrows_of_the_design_are_fine_and_others_are_not() {
        let fine = [
            ("job", "findings"),
            ("findings", "calc"),
            ("calc", "plant"),
            ("packs", "plant"),
            ("job", "dossier"),
            ("changeout", "packs"),
            ("changeout", "clap"),
        ];
        assert!(graph(&fine).problems().is_empty());
        for (from, to) in [
            ("plant", "calc"),
            ("job", "packs"),
            ("calc", "packs"),
            ("dossier", "plant"),
            ("packs", "job"),
            ("findings", "job"),
            ("calc", "serde"),
        ] {
            let problems = graph(&[(from, to)]).problems();
            assert!(problems.iter().any(|p| p.starts_with(from) && p.contains(to)), "{from} → {to}: {problems:?}");
        }
    }

    #[test]
    fn what_is_reached_by_a_detour_counts() {
        let problems = graph(&[("job", "shown"), ("shown", "clap")]).problems();
        assert_eq!(problems, ["job must stay clear of clap (by shown)"]);
    }

    #[test]
    fn a_crate_without_a_place_is_told() {
        let mut graph = graph(&[]);
        graph.members.insert("newcomer".into());
        assert_eq!(graph.problems().len(), 1);
    }

    #[test]
    fn dependencies_of_tests_do_not_count() {
        let json = r#"{"packages":[{"id":"a","name":"calc"},{"id":"b","name":"serde"},{"id":"c","name":"plant"}],"workspace_members":["a","c"],
            "resolve":{"nodes":[{"id":"a","deps":[{"pkg":"b","dep_kinds":[{"kind":"dev"}]},{"pkg":"c","dep_kinds":[{"kind":null}]}]}]}}"#;
        let graph = Graph::read(json).unwrap();
        assert_eq!(graph.reach("calc").into_keys().collect::<Vec<_>>(), ["plant"]);
    }
}
