//! Moves the side seam of the shipped coat so that the back, with 7 mm to sew its side, is half a cloth wide, cuts a princess seam, and asks whether
//! the garment is still the same size.
//!
//! Run it with `cargo run --example recut`; the new pattern goes to `recut.svg` in the folder you stand in.

use retrue::recut::{AddPrincessSeam, MoveSeam, SeamLine, Step};
use retrue::sheet;
use retrue::truing::{Limits, check, girths};
use retrue::units::{Length, Unit};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/coat.svg");
    let mut pattern = sheet::read(&std::fs::read(path)?, &sheet::ReadOptions::default())?.pattern;
    let before = girths(&pattern);

    let steps: [Step; 2] = [
        MoveSeam {
            to_width: Some(Length::from_mm(178.0).into()),
            line: Some(SeamLine::Grain),
            ..MoveSeam::of("front.side".parse()?, "back".parse()?)
        }
        .into(),
        AddPrincessSeam::of(
            "front".parse()?,
            "shoulder@50%".parse()?,
            "bust-point".parse()?,
            "hem@45% from centre".parse()?,
        )
        .into(),
    ];
    for step in &steps {
        let recut = step.apply(&pattern)?;
        for told in &recut.notices {
            println!("{}: {}", step.name(), told.sentence(Unit::Centimetre));
        }
        pattern = recut.pattern;
    }

    for (old, new) in before.iter().zip(girths(&pattern)) {
        println!(
            "{}: {} before, {} now",
            old.level,
            old.around.show(Unit::Centimetre),
            new.around.show(Unit::Centimetre)
        );
    }
    for finding in check(&pattern, &Limits::default()) {
        println!("{}", finding.sentence(Unit::Centimetre));
    }
    std::fs::write("recut.svg", sheet::write(&pattern)?)?;
    Ok(())
}
