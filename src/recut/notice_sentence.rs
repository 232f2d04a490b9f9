//! The sentence for what a step tells.

use crate::derive::UnequalEnds;
use crate::pattern::PieceName;
use crate::recut::Notice;
use crate::recut::reasons::{instead, reason, turned};
use crate::units::{Length, Unit, counted};

impl Notice {
    /// The sentence for it, lengths in the user's unit.
    #[must_use]
    pub fn sentence(&self, unit: Unit) -> String {
        match self {
            Notice::PieceMade { piece, from } => {
                let from: Vec<&str> = from.iter().map(PieceName::as_str).collect();
                format!("`{piece}` is made of `{}`", from.join("` and `"))
            }
            Notice::LineDrawn { piece, line } => {
                format!("style line `{line}` is drawn on `{piece}`: the strip is laid by it")
            }
            Notice::FacingDivided { names } => {
                let names: Vec<&str> = names.iter().map(PieceName::as_str).collect();
                format!(
                    "the facing is divided into `{}`: the pieces do not lie flat over its depth at the seam between, or it \
                     would lie on two folds",
                    names.join("` and `")
                )
            }
            Notice::EndsUnsewn { ends: UnequalEnds { longer, shorter, lengths } } => format!(
                "{longer} is {} long and {shorter} {}: the two ends at the seam are not sewn to each other",
                lengths.0.show(unit),
                lengths.1.show(unit)
            ),
            Notice::PieceGone { piece } => {
                format!("`{piece}` is gone: what it was made from is one piece now, and has its own already")
            }
            Notice::MustFollow { piece, off: Some(off) } => {
                format!("`{piece}` must follow: it is off by {} now", off.show(unit))
            }
            Notice::MustFollow { piece, off: None } => {
                format!("`{piece}` must follow: what it was made from has changed")
            }
            Notice::FollowsNoMore { piece } => {
                format!("`{piece}` was drawn anew itself: it stands by itself now and follows no other piece")
            }
            Notice::SourceGone { piece } => {
                format!("`{piece}` stands by itself now: all that it was made from is gone")
            }
            Notice::NotFollowed { piece, why } => {
                format!("`{piece}` does not follow and stays as it is: {}", why.what)
            }
            Notice::SeamMade { first, second, first_length, second_length } => format!(
                "new seam {first} + {second}: {} against {}",
                first_length.show(unit),
                second_length.show(unit)
            ),
            Notice::LengthsDiffer { first, second, by } => format!(
                "{first} and {second} differ by {} in length: the difference lies at the far end of the seam",
                by.show(unit)
            ),
            Notice::EaseDeclared { edge, ease } => {
                format!("{edge} is longer by {}: ease it in between the notches", ease.show(unit))
            }
            Notice::OffGrain { edge, degrees } => format!(
                "{edge} stands {degrees:.1}° off the grain: the edge will grow; stay it, or move the seam so that it \
                 follows the grain"
            ),
            Notice::PartTurned { part, piece, degrees } => {
                format!("the part from `{part}` lies {degrees:.1}° off the grain of `{piece}`")
            }
            Notice::GirthChanged { level, by } => {
                format!("the girth at {level} changes by {} on the whole garment", by.show_change(unit))
            }
            Notice::AreaChanged { piece, why, by } => {
                format!("the area of `{piece}` changes by {:+.2} cm²: {}", by / 100.0, reason(*why, *by))
            }
            Notice::StripMoved { from, to, widths: (least, most) } => {
                let (least, most) = (least.show(unit).to_string(), most.show(unit).to_string());
                let wide = if least == most { least } else { format!("{least} to {most}") };
                format!("a strip {wide} wide goes from `{from}` to `{to}`")
            }
            Notice::Trued { edge, by } => format!("{edge} was trued by {}", by.show_change(unit)),
            Notice::DrawnInOne { edges: [one, other], run_on } => {
                let by = Length::from_mm(run_on.mm().abs()).show(unit);
                let longer = if *run_on < Length::ZERO { "shorter" } else { "longer" };
                format!(
                    "{one} and {other} turned where they meet: drawn in one line; the seam is {by} {longer} there"
                )
            }
            Notice::DartTaken { piece, dart } => format!("dart `{dart}` of `{piece}` is taken into the seam"),
            Notice::DartMade { piece, dart, width } => {
                format!("a dart `{dart}`, {} wide, shapes `{piece}`", width.show(unit))
            }
            Notice::Panels { piece, count, widest } => {
                format!(
                    "`{piece}` is cut in {count} panels, the widest {} with allowances",
                    widest.show(unit)
                )
            }
            Notice::MarkCrossed { piece, by, mark } => {
                let line = by.word();
                format!("the new {line} crosses `{mark}` on `{piece}`: move the mark or the {line}")
            }
            Notice::OpeningCrossed { between: [first, second], purpose, .. } => {
                format!("{first} and {second}: the seam between them runs into the open {}", purpose.word())
            }
            Notice::OtherHalfLost { piece, thing } => {
                format!("`{piece}` loses `{thing}`: the half that stays has none like it")
            }
            Notice::MarksStay { piece, copy, marks } => format!(
                "`{copy}` is made without the {} of `{piece}`: draw on it what it needs",
                counted(*marks, "other mark")
            ),
            Notice::MarkLost { piece, mark } => {
                format!(
                    "`{mark}` of `{piece}` could not be kept: it lies on none of the pieces made in its place"
                )
            }
            Notice::NotchLost { edge, notch } => format!("notch `{notch}` of {edge} could not be kept"),
            Notice::NotchMoved { edge, notch, by } => {
                format!("notch `{notch}` of {edge} goes with the seam that it meets, by {}", by.show(unit))
            }
            Notice::SameCutNeeded { changed, sewn_to, .. } => {
                format!("{changed} changed; {sewn_to} is sewn to it too and may need the same cut")
            }
            Notice::SeamTakenOff { seam } => format!("the seam {seam} is taken off"),
            Notice::EdgeDivided { edge, into } => {
                let names: Vec<String> = into.iter().map(ToString::to_string).collect();
                format!("{edge} is now {}", names.join(" and "))
            }
            Notice::EdgesJoined { edges, into } => format!("{edges} are now one edge, {into}"),
            Notice::SeamOpened { first, second, purpose, length } => format!(
                "{first} and {second} are left open for a {}, {} long",
                purpose.word(),
                length.show(unit)
            ),
            Notice::SeamClosed { first, second, purpose, length } => format!(
                "{first} and {second} are sewn again, {} long, without the {}",
                length.show(unit),
                purpose.word()
            ),
            Notice::AllowanceWidened { edge, to } => {
                format!("the allowance of {edge} is now {}", to.show(unit))
            }
            Notice::EdgeLapped { edge, lap, .. } if *lap == Length::ZERO => {
                format!("{edge} is sewn edge to edge, without allowances")
            }
            Notice::EdgeLapped { edge, lap, turned_in } => {
                let on_top = format!("{edge} is sewn on top, {} inside its edge", lap.show(unit));
                match *turned_in == Length::ZERO {
                    true => on_top,
                    false => {
                        format!("{on_top}; its allowance of {} is turned in first", turned_in.show(unit))
                    }
                }
            }
            Notice::EdgeExtended { edge, by } => format!("{edge} is extended by {}", by.show(unit)),
            Notice::NotSewnYet { edge, partner } => {
                format!("{edge} is sewn to nothing yet: extend the piece beside {partner} too")
            }
            Notice::GrainTurned { piece, degrees } => {
                format!("the grain of `{piece}` {}", turned(*degrees))
            }
            Notice::EndsAtFold { fold } => {
                format!("straight on, the new seam ends at the fold {fold} and runs on across the other half")
            }
            Notice::CornerGaveWay { edges, shape, cut } => {
                format!("{edges}: the corner cannot be {} here: {}", shape.word(), instead(*cut))
            }
            Notice::NothingToDo { at, why } => format!("nothing to do at {at}: {}", why.sentence(unit)),
            Notice::AlreadyTrue { seam, length } => {
                format!("nothing to do at {seam}: both sides are {} long", length.show(unit))
            }
            Notice::CutChanged { piece, cut } => format!("`{piece}` is now cut {cut}"),
            Notice::OtherHalfAdded { piece } => {
                format!("`{piece}` is half now: what is drawn of it counts twice in the garment")
            }
        }
    }
}
