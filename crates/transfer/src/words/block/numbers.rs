//! Numbers of the block: setpoint one way, actual values the other.

use dossier::program::build::{
    absolute, assign, convert, dint, dword, either, function, limit, note, real, select, shift_left, shift_right, var, when,
};
use dossier::program::{Expression, Function, Statement, Type};
use plant::network::{BitMeaning as M, DataWord, Direction, Layout, Scale, WordMeaning, WordOrder};

use super::super::logic::Cond;
use super::super::pair::{Conversion, names};
use super::super::scale::{Line, Settings, per_count};
use super::{Writer, turned};

/// Largest whole number of the block.
const MOST: i64 = i32::MAX as i64;

/// What controllers disagree on: IEC 61131-3 (edition 2) leaves conversions between bit strings and REAL to the maker.
const BIT_COPY: &str = "Here the 32 bits are taken over as they are (IEEE 754), not the number they spell. Where the \
     controller's conversion turns the number instead, put its own copy of bits or a union in this place.";

fn whole(value: i64) -> Expression {
    dint(i32::try_from(value.clamp(-MOST, MOST)).unwrap_or(i32::MAX))
}

#[expect(clippy::cast_possible_truncation, reason = "single precision is what the controller computes in")]
fn number(value: f64) -> Expression {
    real(value as f32)
}

/// A float word that is a number: its exponent is not all ones.
fn finite(raw: &str) -> Expression {
    (var(raw) & dword(0x7F80_0000)).differs(dword(0x7F80_0000))
}

/// The variables of a word as a DINT, or for 32 bits as a DWORD.
fn dword_of(parts: &[String], order: WordOrder) -> Option<Expression> {
    let [a, b] = parts else { return None };
    let (high, low) = if order == WordOrder::HighFirst { (a, b) } else { (b, a) };
    let wide = |name: &str| convert(Type::Word, Type::Dword, var(name));
    Some(shift_left(wide(high), 16) | wide(low))
}

/// A word of 16 bits as a DINT.
fn dint_of(word: &DataWord, name: &str) -> Expression {
    if word.counts().0 < 0 {
        convert(Type::Int, Type::Dint, convert(Type::Word, Type::Int, var(name)))
    } else {
        convert(Type::Uint, Type::Dint, convert(Type::Word, Type::Uint, var(name)))
    }
}

/// (x·num ± den/2)/den
fn on_line(x: &str, line: Line) -> Expression {
    if line.num == line.den {
        return var(x);
    }
    let half = line.den / 2;
    let product = if line.num == 1 { var(x) } else { var(x) * dint(line.num) };
    if line.den == 1 {
        return product;
    }
    (product + select(var(x).below(dint(0)), dint(half), dint(-half))) / dint(line.den)
}

impl Writer<'_, '_> {
    /// Reads the numbers that the new drive sends: RAW_… as DINT in new counts (or REAL), before conversion.
    pub(super) fn read_numbers(&mut self) {
        for meaning in [WordMeaning::SpeedActual, WordMeaning::CurrentActual, WordMeaning::TorqueActual] {
            let Some((at, word)) = self.pair.new.word(meaning) else { continue };
            let Some(parts) = names("NEW", self.pair.new, at) else { continue };
            let base = parts[0].trim_start_matches("NEW_").trim_end_matches("_A").to_owned();
            self.read("NOW", &base, self.pair.new, word, &parts, true);
        }
        if self.has_local("NOW_SPEED") && self.pair.new.word(WordMeaning::SpeedActual).is_some_and(|(_, w)| w.counts().0 == 0) {
            let reverse = self.new_says(M::Reverse).or_else(|| self.new_says(M::RunReverse));
            if let Some(reverse) = reverse {
                self.say(when(reverse.expression(), [assign("NOW_SPEED", -var("NOW_SPEED"))]));
            }
        }
    }

    /// Declares and fills `PREFIX_BASE` (DINT in counts) or `PREFIX_BASE` as REAL for floats. A value of two words that changes between
    /// the readings of both is taken only when its high word stood in the scans before and after.
    fn read(&mut self, prefix: &str, base: &str, layout: &Layout, word: &DataWord, parts: &[String], guard: bool) {
        let name = format!("{prefix}_{base}");
        if let [one] = parts {
            self.local(&name, Type::Dint, &format!("{} in its own counts", word.name));
            self.say(assign(&name, dint_of(word, one)));
            return;
        }
        let Some(order) = layout.word_order else { return };
        let Some(joined) = dword_of(parts, order) else { return };
        let raw = format!("{prefix}_{base}_RAW");
        self.local(&raw, Type::Dword, &format!("{} as 32 bits", word.name));
        let kind = if word.is_float() { Type::Real } else { Type::Dint };
        self.local(&name, kind, &format!("{} in its own counts", word.name));
        let take = |raw: &str| -> Vec<Statement> {
            if word.is_float() {
                vec![when(finite(raw), [note(BIT_COPY), assign(&name, convert(Type::Dword, Type::Real, var(raw)))])]
            } else {
                // Far beyond any quantity, and far enough from the ends of 32 bits to be reckoned with.
                let far = || whole(1_000_000_000);
                let value = limit(-far(), convert(Type::Dword, Type::Dint, var(raw)), far());
                let taken = assign(&name, value);
                if word.counts().0 == 0 {
                    // Without a sign the upper half of the range would come out negative.
                    vec![either((var(raw) & dword(0x8000_0000)).differs(dword(0)), [assign(&name, far())], [taken])]
                } else {
                    vec![taken]
                }
            }
        };
        if !guard {
            self.say(assign(&raw, joined));
            take(&raw).into_iter().for_each(|s| self.say(s));
            return;
        }
        let last = format!("{raw}_1");
        let before = format!("{raw}_2");
        for (local, about) in [(&last, "of the scan before"), (&before, "of two scans before")] {
            self.local(local, Type::Dword, about);
        }
        let high = |n: &str| shift_right(var(n), 16);
        self.say(assign(&before, var(&last)));
        self.say(assign(&last, var(&raw)));
        self.say(assign(&raw, joined));
        let stood = high(&last).equals(high(&before)) & high(&last).equals(high(&raw));
        let body = take(&last);
        self.say(when(stood, body));
    }

    /// TARGET: the wanted speed in the new drive's counts, negative in reverse; TARGET_REAL where a float is on one side.
    pub(super) fn target(&mut self) {
        let Some(conversion) = self.pair.conversion(WordMeaning::SpeedSetpoint) else { return };
        let Some((old, new)) = self.pair.partner(WordMeaning::SpeedSetpoint) else { return };
        let parts = self.old_source(WordMeaning::SpeedSetpoint);
        self.read("OLD", "COUNTS", self.pair.old, old, &parts, false);
        let reverse = self.ask(M::Reverse).or(self.ask(M::RunReverse).and(self.ask(M::Run).not()));
        let zero = self.held_at_nought();
        let highest = self.pair.highest().in_hz();
        match conversion {
            Conversion::Whole { line, largest } => {
                self.local("TARGET", Type::Dint, "wanted speed in the new drive's counts");
                let most = most_counts(new, highest, &self.pair.new_settings);
                if old.counts().1.max(-old.counts().0) > largest {
                    self.say(assign("OLD_COUNTS", limit(whole(-largest), var("OLD_COUNTS"), whole(largest))));
                }
                let value = turned(on_line("OLD_COUNTS", line), reverse);
                let lowest = if self.pair.new_can_reverse() { -most } else { 0 };
                self.say(assign("TARGET", limit(whole(lowest), value, whole(most))));
                self.send_nought("SENT", Type::Dint, "TARGET", zero);
            }
            Conversion::Float(ratio) => {
                self.local("TARGET_REAL", Type::Real, "wanted speed in the new drive's unit");
                let most = match new.scale {
                    Some(Scale::FloatHertz) => highest,
                    Some(Scale::FloatRpm) => highest * 120.0 / self.pair.new_settings.poles,
                    Some(scale) => {
                        per_count(scale, &self.pair.new_settings).map_or(0.0, |step| (highest / step).min(as_float(new.counts().1)))
                    }
                    None => 0.0,
                };
                let source = if old.is_float() { var("OLD_COUNTS") } else { convert(Type::Dint, Type::Real, var("OLD_COUNTS")) };
                // Cut before it is multiplied, so that no number leaves the range of REAL.
                let widest = 4.0 * most.max(1.0) / ratio.max(1e-6);
                let cut = limit(number(-widest), source, number(widest));
                let lowest = if self.pair.new_can_reverse() { -most } else { 0.0 };
                self.say(assign("TARGET_REAL", limit(number(lowest), turned(cut * number(ratio), reverse), number(most))));
                if new.is_float() {
                    self.send_nought("SENT", Type::Real, "TARGET_REAL", zero);
                } else {
                    self.local("TARGET", Type::Dint, "wanted speed in the new drive's counts");
                    self.say(assign("TARGET", convert(Type::Real, Type::Dint, var("TARGET_REAL"))));
                    self.send_nought("SENT", Type::Dint, "TARGET", zero);
                }
            }
        }
    }

    /// SENT is the target, or 0 while a demand holds that the new layout has no bit for.
    fn send_nought(&mut self, name: &str, kind: Type, target: &str, zero: Cond) {
        if let Cond::When(zero) = zero {
            self.local(name, kind, "what is sent of it");
            self.say(assign(name, var(target)));
            let nought = if kind == Type::Real { real(0.0) } else { dint(0) };
            self.say(when(zero, [assign(name, nought)]));
        }
    }

    /// Writes TARGET into the new setpoint word; without its sign where a bit tells it.
    pub(super) fn put_target(&mut self, by_bit: bool) {
        let Some((_, word)) = self.pair.new.word(WordMeaning::SpeedSetpoint) else { return };
        let parts = self.new_names(WordMeaning::SpeedSetpoint);
        let own = if word.is_float() { "TARGET_REAL" } else { "TARGET" };
        let sent = var(if self.has_local("SENT") { "SENT" } else { own });
        if word.is_float() {
            let value = if by_bit { absolute(sent) } else { sent };
            self.say(note(BIT_COPY));
            self.put_raw("OUT_SETPOINT", convert(Type::Real, Type::Dword, value), self.pair.new, &parts);
        } else {
            let value = if by_bit { absolute(sent) } else { sent };
            self.put(value, word, self.pair.new, &parts, "OUT_SETPOINT");
        }
    }

    /// Writes a DINT that fits into a word.
    fn put(&mut self, value: Expression, word: &DataWord, layout: &Layout, parts: &[String], temporary: &str) {
        if let [one] = parts {
            let narrow = if word.counts().0 < 0 { Type::Int } else { Type::Uint };
            self.say(assign(one, convert(narrow, Type::Word, convert(Type::Dint, narrow, value))));
        } else {
            self.put_raw(temporary, convert(Type::Dint, Type::Dword, value), layout, parts);
        }
    }

    fn put_raw(&mut self, temporary: &str, value: Expression, layout: &Layout, parts: &[String]) {
        let (Some(order), [a, b]) = (layout.word_order, parts) else { return };
        self.local(temporary, Type::Dword, "as 32 bits");
        self.say(assign(temporary, value));
        let (high, low) = if order == WordOrder::HighFirst { (a, b) } else { (b, a) };
        self.say(assign(high, convert(Type::Dword, Type::Word, shift_right(var(temporary), 16))));
        self.say(assign(low, convert(Type::Dword, Type::Word, var(temporary) & dword(0xFFFF))));
    }

    /// The old drive's actual values from the new drive's.
    pub(super) fn actual_values(&mut self) {
        for meaning in [WordMeaning::SpeedActual, WordMeaning::CurrentActual, WordMeaning::TorqueActual] {
            let Some((at, old)) = self.pair.old.word(meaning) else { continue };
            let Some(parts) = names("OLD", self.pair.old, at) else { continue };
            let base = parts[0].trim_start_matches("OLD_").trim_end_matches("_A").to_owned();
            let (now, shown) = (format!("NOW_{base}"), format!("SHOW_{base}"));
            let conversion = self.pair.conversion(meaning).filter(|_| self.has_local(&now));
            let Some(conversion) = conversion else {
                for part in &parts {
                    self.say(assign(part, dossier::program::build::word(0)));
                }
                continue;
            };
            let new_is_float = self.pair.new.word(meaning).is_some_and(|(_, w)| w.is_float());
            let (low, high) = old.counts();
            match conversion {
                Conversion::Whole { line, largest } => {
                    self.local(&shown, Type::Dint, &format!("{} in the old drive's counts", old.name));
                    self.say(assign(&shown, limit(whole(-largest), var(&now), whole(largest))));
                    let value = on_line(&shown, line);
                    let value = if low == 0 { absolute(value) } else { value };
                    self.say(assign(&shown, limit(whole(low), value, whole(high))));
                    self.put(var(&shown), old, self.pair.old, &parts, &format!("OUT_{base}"));
                }
                Conversion::Float(ratio) => {
                    self.local(&shown, Type::Real, &format!("{} in the old drive's unit", old.name));
                    let source = if new_is_float { var(&now) } else { convert(Type::Dint, Type::Real, var(&now)) };
                    // Nothing that a drive tells is larger; a REAL stays within its range.
                    let widest = number(1e9);
                    self.say(assign(&shown, limit(-widest.clone(), source, widest) * number(ratio)));
                    if old.is_float() {
                        self.say(note(BIT_COPY));
                        self.put_raw(&format!("OUT_{base}"), convert(Type::Real, Type::Dword, var(&shown)), self.pair.old, &parts);
                    } else {
                        let value = if low == 0 { absolute(var(&shown)) } else { var(&shown) };
                        let cut = limit(number(as_float(low)), value, number(as_float(high.min(2_000_000_000))));
                        self.put(convert(Type::Real, Type::Dint, cut), old, self.pair.old, &parts, &format!("OUT_{base}"));
                    }
                }
            }
        }
    }

    /// Configurable words that carry the same on both sides and have no scale go through as they are.
    pub(super) fn pass_data(&mut self, direction: Direction) {
        let (from, to, from_prefix, to_prefix) = match direction {
            Direction::ToDrive => (self.pair.old, self.pair.new, "OLD", "NEW"),
            Direction::FromDrive => (self.pair.new, self.pair.old, "NEW", "OLD"),
        };
        for (at, word) in to.words(direction).filter(|(_, w)| w.meaning == WordMeaning::Configurable) {
            let Some(targets) = names(to_prefix, to, at).filter(|_| to_prefix == "OLD" || self.pair.uses_new(word)) else { continue };
            let source = from
                .words(direction)
                .find(|(_, w)| w.carries.is_some() && w.carries == word.carries && w.width == word.width && w.scale == word.scale)
                .and_then(|(at, _)| names(from_prefix, from, at));
            let swap = word.width == 32 && from.word_order != to.word_order;
            for (i, target) in targets.iter().enumerate() {
                let own = source.as_ref().and_then(|s| s.get(if swap { 1 - i } else { i }));
                self.say(assign(target, own.map_or_else(|| dossier::program::build::word(0), |n| var(n))));
            }
        }
    }

    /// |NOW_SPEED − reference| in the new drive's counts at most so many Hz; `None` where the new speed is a float or missing.
    pub(super) fn within(&self, reference: Option<&str>, band_hz: f64) -> Option<Cond> {
        let (_, word) = self.pair.new.word(WordMeaning::SpeedActual)?;
        let step = per_count(word.scale?, &self.pair.new_settings).filter(|s| *s > 0.0)?;
        let setpoint_step = per_count(self.pair.new.word(WordMeaning::SpeedSetpoint)?.1.scale?, &self.pair.new_settings)?;
        if !self.has_local("NOW_SPEED") || (reference.is_some() && !self.has_local("TARGET")) {
            return None;
        }
        // Setpoint and actual value of one unit nearly always count alike; where not, the bit of the unit itself is taken.
        if reference.is_some() && (step / setpoint_step - 1.0).abs() > 1e-9 {
            return None;
        }
        #[expect(clippy::cast_possible_truncation, reason = "a band is a few Hz")]
        let band = (band_hz / step + 1e-6).floor().clamp(0.0, 1e6) as i64;
        let distance = reference.map_or_else(|| var("NOW_SPEED"), |r| var("NOW_SPEED") - var(r));
        Some(function(Function::Absolute, [distance]).at_most(whole(band)).into())
    }

    /// The old fault code for the new one.
    pub(super) fn fault_code(&mut self) {
        use dossier::program::build::{arm, case, word};
        let Some((at, old)) = self.pair.old.word(WordMeaning::FaultCode) else { return };
        let Some(parts) = names("OLD", self.pair.old, at) else { return };
        let Some(target) = parts.last().filter(|_| old.width <= 16) else { return };
        let source = self.new_names(WordMeaning::FaultCode);
        let code = |code: u32| word(u16::try_from(code & old.mask()).unwrap_or(u16::MAX));
        let other = self.pair.old_faults.iter().find(|f| f.meaning == plant::network::FaultMeaning::Internal).map_or(0, |f| f.code);
        let [name] = source.as_slice() else {
            // The new drive tells no code: a stored fault shows as one of the unit itself.
            let faulted = self.faulted().expression();
            self.say(either(faulted, [assign(target, code(other))], [assign(target, word(0))]));
            return;
        };
        let mut arms = vec![arm(0, "no fault", [assign(target, word(0))])];
        let mut seen = vec![0];
        for (new, own) in self.pair.faults() {
            if let Some(own) = own
                && !seen.contains(&new.code)
                && new.code <= u32::from(u16::MAX)
            {
                seen.push(new.code);
                arms.push(arm(i64::from(new.code), &new.text, [assign(target, code(own.code))]));
            }
        }
        self.say(case(convert(Type::Word, Type::Uint, var(name)), arms, [assign(target, code(other))]));
    }
}

/// Largest count of the new setpoint: its own range, and no more than the highest frequency.
pub(crate) fn most_counts(word: &DataWord, highest_hz: f64, settings: &Settings) -> i64 {
    let step = word.scale.and_then(|s| per_count(s, settings)).filter(|s| *s > 0.0).unwrap_or(1.0);
    #[expect(clippy::cast_possible_truncation, reason = "a number of counts; larger ones are cut")]
    let counts = (highest_hz / step + 1e-6).floor().clamp(0.0, 2e9) as i64;
    counts.min(word.counts().1)
}

#[expect(clippy::cast_precision_loss, reason = "counts have at most 32 bits")]
fn as_float(count: i64) -> f64 {
    count as f64
}
