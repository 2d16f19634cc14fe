//! Numbers as text, without exponents, "-0" or trailing zeros.

/// The number with at most so many decimals. It must be finite: `check` sees to that.
pub(crate) fn plain(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::plain;

    #[test]
    fn numbers_are_short_and_plain() {
        let shown = [(412.5, 1), (400.0, 1), (-0.04, 1), (100.0, 0), (1e6, 9), (-2.25, 9), (0.000_000_001, 9)].map(|(v, d)| plain(v, d));
        assert_eq!(shown, ["412.5", "400", "0", "100", "1000000", "-2.25", "0.000000001"]);
    }
}
