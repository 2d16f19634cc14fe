//! The table of all checks. A name once published is never used for another fault; a name that was replaced
//! stays in [`REPLACED`], so that old dossiers and decisions stay readable.

use crate::check::Check;
use crate::{r#box, braking, conductors, control, harmonics, motor, output, protection, rating, settings, speed, supply, wires, words};

/// Every check, in the order of the job. `cargo xtask new-finding GROUP/NAME` adds a line.
pub const CHECKS: &[&Check] = &[
    &rating::motor_current_uncovered::CHECK,
    &rating::measured_current_uncovered::CHECK,
    &rating::site_current_short::CHECK,
    &rating::overload_short::CHECK,
    &rating::breakaway_short::CHECK,
    &rating::less_than_old::CHECK,
    &rating::motor_too_small::CHECK,
    &speed::top_speed_short::CHECK,
    &motor::volts_per_hertz_differs::CHECK,
    &motor::kind_not_run::CHECK,
    &motor::several_on_vector::CHECK,
    &motor::overloads_missing::CHECK,
    &motor::hot_at_low_speed::CHECK,
    &supply::voltage_outside_class::CHECK,
    &supply::phase_missing_or_unbalanced::CHECK,
    &supply::links_to_earth::CHECK,
    &supply::earth_fault_unseen::CHECK,
    &supply::residual_device_trips::CHECK,
    &protection::device_not_listed::CHECK,
    &protection::fault_current_above_rating::CHECK,
    &protection::label_out_of_date::CHECK,
    &conductors::supply_too_small::CHECK,
    &conductors::drop_too_large::CHECK,
    &conductors::earth_too_small::CHECK,
    &conductors::output_too_small::CHECK,
    &conductors::motor_drop_too_large::CHECK,
    &supply::source_too_stiff::CHECK,
    &supply::reactors_in_series::CHECK,
    &supply::bank_switching::CHECK,
    &supply::notched_line::CHECK,
    &supply::generator_too_small::CHECK,
    &supply::switched_too_often::CHECK,
    &supply::drops_out_on_dips::CHECK,
    &harmonics::limit_exceeded::CHECK,
    &motor::winding_overstressed::CHECK,
    &motor::bearing_currents::CHECK,
    &motor::sensor_not_read::CHECK,
    &output::cable_too_long::CHECK,
    &output::filter_unfit::CHECK,
    &output::capacitors_at_motor::CHECK,
    &output::switched_under_load::CHECK,
    &output::bypass_feeds_back::CHECK,
    &output::transfer_too_quick::CHECK,
    &output::rotation_unproved::CHECK,
    &output::bypass_without_overload::CHECK,
    &output::brake_fed_from_motor::CHECK,
    &output::leads_share_raceway::CHECK,
    &braking::energy_without_way_out::CHECK,
    &braking::resistor_outside_window::CHECK,
    &braking::resistor_too_hot::CHECK,
    &braking::resistor_unguarded::CHECK,
    &braking::stop_too_long::CHECK,
    &braking::guard_opens_early::CHECK,
    &braking::regeneration_lost::CHECK,
    &braking::link_members_clash::CHECK,
    &braking::load_let_go::CHECK,
    &braking::no_stop_without_line::CHECK,
    &r#box::door_stays_open::CHECK,
    &r#box::no_place_on_plate::CHECK,
    &r#box::conductor_outside_terminal::CHECK,
    &r#box::cables_enter_elsewhere::CHECK,
    &r#box::air_too_hot::CHECK,
    &r#box::rating_lost::CHECK,
    &r#box::listed_unit_altered::CHECK,
    &wires::voltage_on_input::CHECK,
    &wires::polarity_opposed::CHECK,
    &wires::signal_not_seen::CHECK,
    &wires::input_held_on::CHECK,
    &wires::start_condition_open::CHECK,
    &wires::interlock_left_behind::CHECK,
    &wires::health_misread::CHECK,
    &wires::contact_overloaded::CHECK,
    &wires::contact_poorly_wetted::CHECK,
    &wires::signal_means_another::CHECK,
    &wires::start_taken_otherwise::CHECK,
    &wires::reference_range_differs::CHECK,
    &wires::earths_joined::CHECK,
    &wires::loop_short_of_volts::CHECK,
    &wires::meter_reads_wrong::CHECK,
    &wires::encoder_not_counted::CHECK,
    &wires::encoder_backwards::CHECK,
    &wires::encoder_pulses_unknown::CHECK,
    &wires::control_dies_with_supply::CHECK,
    &wires::fed_by_old_drive::CHECK,
    &wires::without_landing::CHECK,
    &words::refused_by_master::CHECK,
    &words::full_scale_differs::CHECK,
    &words::word_order_differs::CHECK,
    &words::registers_shifted::CHECK,
    &words::writes_refused::CHECK,
    &words::runs_on_after_loss::CHECK,
    &words::start_not_understood::CHECK,
    &words::local_start_refused::CHECK,
    &words::restarts_on_reset::CHECK,
    &words::fault_texts_differ::CHECK,
    &words::at_speed_comes_late::CHECK,
    &words::memory_worn_out::CHECK,
    &words::line_settings_refused::CHECK,
    &words::answer_comes_late::CHECK,
    &words::loop_swings::CHECK,
    &words::address_used_twice::CHECK,
    &words::line_ends_at_drive::CHECK,
    &settings::starts_with_power::CHECK,
    &settings::reference_loss_differs::CHECK,
    &settings::fixed_speeds_shuffled::CHECK,
    &settings::raise_lower_remembers::CHECK,
    &settings::reverse_let_in::CHECK,
    &settings::ramp_of_other_base::CHECK,
    &settings::rounding_on_top::CHECK,
    &settings::base_of_other_grid::CHECK,
    &settings::slip_added::CHECK,
    &settings::critical_speeds_run::CHECK,
    &settings::coasting_not_caught::CHECK,
    &settings::identification_turns_shaft::CHECK,
    &settings::limit_of_other_base::CHECK,
    &settings::process_loop_swings::CHECK,
    &settings::load_sharing_lost::CHECK,
    &settings::carrier_audible::CHECK,
    &settings::motor_unprotected::CHECK,
    &settings::protection_off::CHECK,
    &settings::flux_lowered::CHECK,
    &settings::logic_vanished::CHECK,
    &settings::duty_class_differs::CHECK,
    &control::starts_when_power_returns::CHECK,
    &control::starts_by_reset::CHECK,
    &control::never_ready::CHECK,
    &control::permissive_left_out::CHECK,
    &control::fault_contact_reversed::CHECK,
    &control::coasting_load_not_caught::CHECK,
    &control::held_by_control_alone::CHECK,
    &control::safety_function_unproved::CHECK,
    &control::emergency_stop_otherwise::CHECK,
    &control::safe_off_link_left::CHECK,
];

/// Old name and the name that took its place.
pub const REPLACED: &[(&str, &str)] = &[];

/// The check of that name, also by a name it had before.
#[must_use]
pub fn find(name: &str) -> Option<&'static Check> {
    let name = REPLACED.iter().find(|(old, _)| *old == name).map_or(name, |(_, new)| new);
    CHECKS.iter().find(|c| c.name == name).copied()
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;
    use plant::quantity::Frequency;
    use plant::survey::{FACTS, FactId, Kind, def};

    use super::*;
    use crate::check::HEADINGS;
    use crate::failure_modes;
    use crate::fixture::{changed, series};

    /// What is wrong with these names, now and before.
    fn clashes(names: &[&str], replaced: &[(&str, &str)]) -> Vec<String> {
        let twice = |list: &[&str], name: &str| list.iter().filter(|other| **other == name).count() > 1;
        let old: Vec<&str> = replaced.iter().map(|(old, _)| *old).collect();
        let mut wrong: Vec<String> = names.iter().filter(|n| twice(names, n)).map(|n| format!("{n} stands twice")).collect();
        wrong.extend(old.iter().filter(|n| twice(&old, n)).map(|n| format!("{n} was replaced twice")));
        wrong.extend(old.iter().filter(|n| names.contains(n)).map(|n| format!("{n} was replaced and is there again")));
        wrong.extend(
            replaced.iter().filter(|(_, new)| !names.contains(new)).map(|(old, new)| format!("{old} leads to {new}, which is gone")),
        );
        wrong
    }

    #[test]
    fn a_name_stands_for_one_fault_for_good() {
        let names: Vec<&str> = CHECKS.iter().map(|c| c.name).collect();
        assert_eq!(clashes(&names, REPLACED), [""; 0]);
        for name in &names {
            assert_eq!(find(name).map(|c| c.name), Some(*name));
        }
        assert!(find("rating/never-was").is_none());
        // The test itself sees what it is there for.
        assert_eq!(clashes(&["a/b", "a/b"], &[]).len(), 2);
        assert_eq!(clashes(&["a/b"], &[("a/b", "a/b")]).len(), 1);
        assert_eq!(clashes(&["a/b"], &[("a/old", "a/gone"), ("a/old", "a/b")]).len(), 3);
    }

    #[test]
    fn names_are_group_and_fault_in_small_letters_and_the_group_is_the_module() {
        let small =
            |word: &str| word.split('-').all(|part| !part.is_empty() && part.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit()));
        // A group may be called like a keyword: r#box.
        let table = include_str!("registry.rs").replace("&r#", "&");
        for check in CHECKS {
            let (group, fault) = check.name.split_once('/').unwrap_or_default();
            assert!(small(group) && small(fault), "{}", check.name);
            // The table above names each check by its module.
            let line = format!("    &{}::CHECK,\n", check.name.replace('/', "::").replace('-', "_"));
            assert_eq!(table.matches(&line).count(), 1, "{}", check.name);
        }
    }

    #[test]
    fn every_page_has_a_title_a_summary_and_all_sections_in_order() {
        for check in CHECKS {
            let name = check.name;
            assert!(check.page.starts_with("# ") && check.title().len() > 10, "{name}");
            let summary = check.page.lines().nth(2).unwrap_or_default();
            assert!(summary.ends_with('.') && !summary.starts_with('#'), "{name}: a sentence stands under the title");
            let headings: Vec<&str> = check.page.lines().filter_map(|l| l.strip_prefix("## ")).collect();
            assert_eq!(headings, HEADINGS, "{name}");
            for heading in HEADINGS {
                assert!(check.section(heading).is_some_and(|text| text.len() > 40), "{name}: {heading}");
            }
        }
    }

    #[test]
    fn pages_say_how_each_source_is_known() {
        const KNOWN: &[&str] = &["(survey)", "(product pack)", "(derived)", "no source)", "from memory)", "(looked up"];
        for check in CHECKS {
            let sources = check.section("Sources").unwrap_or_default();
            for entry in sources.split("\n- ") {
                assert!(KNOWN.iter().any(|word| entry.contains(word)), "{}: {entry}", check.name);
            }
        }
    }

    #[test]
    fn pages_bring_the_cautions_of_the_failures_that_they_stand_for() {
        for check in CHECKS {
            assert!(!check.rows.is_empty(), "{} stands for no failure mode", check.name);
            let cautions = format!("\n{}", check.section("Cautions").unwrap_or_default());
            for row in check.rows {
                let mode = failure_modes::find(*row).unwrap_or_else(|| panic!("{}: there is no row {row}", check.name));
                for letter in mode.cautions.chars() {
                    assert!(cautions.contains(&format!("\n- {letter}, ")), "{}: row {row} asks for caution {letter}", check.name);
                }
            }
        }
    }

    #[test]
    fn directions_are_of_quantities_once_each() {
        for check in CHECKS {
            for (i, (id, _)) in check.ways.iter().enumerate() {
                assert!(id.index() < FACTS.len(), "{}: no fact has the number {}", check.name, id.index());
                let def = def(*id);
                assert!(matches!(def.kind, Kind::Quantity(_)), "{}: {} is a word", check.name, def.path);
                assert!(check.ways[..i].iter().all(|(other, _)| other != id), "{}: {} stands twice", check.name, def.path);
            }
            for (measure, facts) in check.undone {
                assert!(check.measures.contains(measure), "{} does not look at {measure:?}", check.name);
                let declared = |id: &FactId| check.ways.iter().any(|(fact, _)| fact == id);
                assert!(facts.iter().all(declared), "{}: {measure:?} undoes what is not declared", check.name);
            }
        }
    }

    #[test]
    fn longer_cables_stiffer_supplies_and_higher_inertias_are_never_safer() {
        use plant::survey::{CABLE_LENGTH, CONDUCTOR_LENGTH, FAULT_CURRENT, LOAD_INERTIA};

        use crate::candidate::Measures;
        use crate::check::Way;
        // Declared here; that they are true is proved over random surveys (crates/job/tests/soundness.rs). Harmonics are left out: a
        // stiffer supply lowers the voltage distortion and raises the limits of current.
        let declared = [
            ("motor/winding-overstressed", CABLE_LENGTH.id),
            ("output/cable-too-long", CABLE_LENGTH.id),
            ("conductors/motor-drop-too-large", CABLE_LENGTH.id),
            ("conductors/drop-too-large", CONDUCTOR_LENGTH.id),
            ("protection/fault-current-above-rating", FAULT_CURRENT.id),
            ("supply/source-too-stiff", FAULT_CURRENT.id),
            ("braking/energy-without-way-out", LOAD_INERTIA.id),
            ("braking/resistor-outside-window", LOAD_INERTIA.id),
            ("braking/resistor-too-hot", LOAD_INERTIA.id),
            ("braking/stop-too-long", LOAD_INERTIA.id),
            ("braking/guard-opens-early", LOAD_INERTIA.id),
        ];
        for (name, fact) in declared {
            assert_eq!(find(name).and_then(|c| c.way(fact, Measures::default())), Some(Way::Down), "{name}: {}", def(fact).path);
        }
    }

    #[test]
    fn units_are_known_and_yes_or_no_has_no_direction() {
        for check in CHECKS {
            assert!(matches!(check.unit, "%" | "mm" | "°" | "Hz" | ""), "{}: {}", check.name, check.unit);
            assert!(!check.unit.is_empty() || check.ways.is_empty(), "{}", check.name);
        }
    }

    #[test]
    fn a_check_looks_at_the_measures_that_it_offers_and_at_those_of_others() {
        let fast = |code: &str| changed(code, Duty::Heavy, |s| s.control.default_carrier = Some(Frequency::khz(8.0)));
        let units = [fast("R1"), fast("R2")];
        assert_eq!(series().frames.len(), units.len(), "a unit of each frame");
        let of = |check: &Check| units.iter().flat_map(|unit| (check.remedies)(unit)).collect::<Vec<_>>();
        let all: Vec<_> = CHECKS.iter().flat_map(|check| of(check)).map(|r| r.measure).collect();
        for check in CHECKS {
            let offered = of(check);
            assert!(offered.iter().all(|r| check.measures.contains(&r.measure)), "{}: {offered:?}", check.name);
            assert!(check.measures.iter().all(|m| all.contains(m)), "{}: nobody offers all of {:?}", check.name, check.measures);
            assert!(offered.iter().all(|r| r.minutes > 0.0 && !r.what.is_empty()), "{}: work takes time", check.name);
        }
    }
}
