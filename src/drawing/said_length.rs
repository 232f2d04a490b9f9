//! Lengths that writing in a drawing names.

use crate::units::MM_PER_INCH;

/// The lengths that a text names: `100 mm`, `10cm`, `4 in`, `4"`, `4 inches`.
pub(crate) fn lengths_in(text: &str) -> Vec<f64> {
    let mut lengths = Vec::new();
    let signs: Vec<char> = text.chars().collect();
    let mut at = 0;
    while at < signs.len() {
        if !signs[at].is_ascii_digit() {
            at += 1;
            continue;
        }
        let number: String = signs[at..]
            .iter()
            .take_while(|sign| sign.is_ascii_digit() || matches!(sign, '.' | ','))
            .collect();
        at += number.len();
        let rest: String = signs[at..].iter().collect::<String>().trim_start().to_lowercase();
        let units = [
            ("mm", 1.0),
            ("cm", 10.0),
            ("inch", MM_PER_INCH),
            ("in", MM_PER_INCH),
            ("\"", MM_PER_INCH),
            ("″", MM_PER_INCH),
        ];
        let unit = units.iter().find(|(name, _)| rest.starts_with(name));
        let value = number.trim_end_matches([',', '.']).replace(',', ".").parse::<f64>();
        if let (Some((_, mm)), Ok(value)) = (unit, value)
            && value > 0.0
        {
            lengths.push(value * mm);
        }
    }
    lengths
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_read_out_of_labels() {
        assert_eq!(lengths_in("Test square 100 mm"), [100.0]);
        assert_eq!(lengths_in("4\" / 10,5cm x 2 inches"), [101.6, 105.0, 50.8]);
        assert!(lengths_in("size 38, cut 2").is_empty());
    }
}
