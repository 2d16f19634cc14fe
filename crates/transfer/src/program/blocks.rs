//! The standard function blocks: their variables, and what a call does.

use dossier::program::{Block, Section, Type};

/// Variables of a standard block in the order of their slots. What has no name is its own affair.
pub(super) fn variables(block: &Block) -> &'static [(&'static str, Section, Type)] {
    const EDGE: &[(&str, Section, Type)] =
        &[("CLK", Section::Input, Type::Bool), ("Q", Section::Output, Type::Bool), ("", Section::Local, Type::Bool)];
    const DELAY: &[(&str, Section, Type)] = &[
        ("IN", Section::Input, Type::Bool),
        ("PT", Section::Input, Type::Time),
        ("Q", Section::Output, Type::Bool),
        ("ET", Section::Output, Type::Time),
        ("", Section::Local, Type::Bool),
        ("", Section::Local, Type::Time),
    ];
    match block {
        Block::RisingEdge | Block::FallingEdge => EDGE,
        Block::OnDelay | Block::OffDelay => DELAY,
        Block::Own(_) => &[],
    }
}

/// Runs an instance. `slots` are its own; `now` is the machine's time in milliseconds.
pub(super) fn call(block: &Block, slots: &mut [i64], now: i64) {
    match (block, slots) {
        (Block::RisingEdge, [clock, q, before, ..]) => {
            *q = i64::from(*clock != 0 && *before == 0);
            *before = *clock;
        }
        // `before` holds NOT CLK, which is FALSE at the start: a CLK of FALSE in the first call is an edge.
        (Block::FallingEdge, [clock, q, before, ..]) => {
            *q = i64::from(*clock == 0 && *before == 0);
            *before = i64::from(*clock == 0);
        }
        (Block::OnDelay, [on, limit, q, elapsed, running, since, ..]) => {
            if *on == 0 {
                (*q, *elapsed, *running) = (0, 0, 0);
                return;
            }
            if *running == 0 {
                (*running, *since) = (1, now);
            }
            let passed = now - *since;
            *q = i64::from(passed >= *limit);
            *elapsed = passed.min(*limit).max(0);
        }
        (Block::OffDelay, [on, limit, q, elapsed, running, since, ..]) => {
            if *on != 0 {
                (*q, *elapsed, *running) = (1, 0, 0);
                return;
            }
            // Never been on, or the time is over: ET stands.
            if *q == 0 {
                return;
            }
            if *running == 0 {
                (*running, *since) = (1, now);
            }
            let passed = now - *since;
            *q = i64::from(passed < *limit);
            *elapsed = passed.min(*limit).max(0);
        }
        _ => {}
    }
}
