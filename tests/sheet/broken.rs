//! Sheets that were damaged on the way.

use proptest::prelude::*;
use retrue::drawing;
use retrue::sheet;
use retrue::sheet::ReadError;

use crate::{FIXTURES, fixture};

/// A change somewhere in a text: where, as a share of it, how much is taken out, and what is put in.
fn damage() -> impl Strategy<Value = (f64, usize, String)> {
    let put = prop_oneof![
        Just(String::new()),
        Just("0".to_owned()),
        Just("9e3".to_owned()),
        Just("-".to_owned()),
        Just(" ".to_owned()),
        Just("\"".to_owned()),
        Just(";".to_owned()),
        Just(".".to_owned()),
        Just("/m".to_owned()),
        Just(" display=\"none\" ".to_owned()),
        Just(" transform=\"scale(-1 1)\" ".to_owned()),
        Just("Z".to_owned()),
    ];
    (0.0..1.0_f64, 0..12_usize, put)
}

fn damaged(text: &str, damages: &[(f64, usize, String)]) -> String {
    let mut letters: Vec<char> = text.chars().collect();
    for (share, out, put) in damages {
        let at = (share * letters.len() as f64) as usize;
        let end = (at + out).min(letters.len());
        letters.splice(at..end, put.chars());
    }
    letters.into_iter().collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, ..crate::trips::config() })]

    /// A damaged sheet is read or refused, but never stumbled over; and what is read can be written and read again.
    #[test]
    fn damaged_sheets_are_read_or_refused(name in 0..4_usize, damages in prop::collection::vec(damage(), 1..4)) {
        let text = String::from_utf8(fixture(FIXTURES[name])).unwrap();
        match sheet::read(damaged(&text, &damages).as_bytes(), &Default::default()) {
            Ok(read) => {
                read.pattern.assert_sound();
                if let Ok(written) = sheet::write(&read.pattern) {
                    let again = sheet::read(written.as_bytes(), &Default::default());
                    prop_assert!(again.is_ok(), "{}", again.err().unwrap());
                }
            }
            Err(ReadError::Drawing(drawing::DrawingError::Internal { reason })) => prop_assert!(false, "{reason}"),
            Err(_) => {}
        }
    }
}
