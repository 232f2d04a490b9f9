//! What is said of the stripes along a seam, from what was measured.

use crate::cloth::layout::{
    BodyHalf, GroundUse, Laid, LaidLevel, LaidMatch, LaidVerdict, LevelMet, MatchAt, MetAlong, PairMet,
    Parting, SeamAlike, SeamMet, SewingAlike, SewingMet, WishKept,
};
use crate::tolerance::{COLOURS_ALIKE, EDGES_APART_TOLD, LEAST_MATCH, MATCH_STEP, SAME_POINT, STRIPES_MEET};
use crate::units::{INCH_PARTS, Length, MM_PER_INCH, Unit, counted_as};

impl Laid {
    /// That no layout was found, in words; none where one was, or there is none.
    #[must_use]
    pub fn missed(&self, unit: Unit) -> Option<String> {
        let closest = self.closest(unit)?;
        let passes = usize::try_from(self.iterations).unwrap_or(usize::MAX);
        Some(format!("no layout was found in {}; {closest}", counted_as(passes, "pass", "passes")))
    }

    /// What is not right yet in the closest that was found; none where a layout was found, or there is none.
    #[must_use]
    pub fn closest(&self, unit: Unit) -> Option<String> {
        let LaidVerdict::NotFound { broken, by } = self.verdict else { return None };
        let by = Length::from_mm(by).to_tenths().show(unit);
        let places = match broken {
            1 => "one place is".to_owned(),
            count => format!("{count} places are"),
        };
        Some(format!("in the closest, {places} still too near or over the edge, by up to {by}"))
    }
}

impl GroundUse {
    /// How much of a length is used, in words.
    #[must_use]
    pub fn used_of(&self, length: f64, unit: Unit) -> String {
        used_of(Length::from_mm(self.used), Length::from_mm(length), unit)
    }

    /// What is left over at its end, in words: never more than there is.
    #[must_use]
    pub fn left_over(&self, unit: Unit) -> Option<String> {
        let (across, along) = self.leftover?;
        let along = (along * steps_told(unit)).floor() / steps_told(unit);
        let [across, along] = [across, along].map(|mm| Length::from_mm(mm).show(unit));
        Some(format!("left over {across} × {along}"))
    }
}

/// How much of a length is used, in words.
#[must_use]
pub fn used_of(used: Length, length: Length, unit: Unit) -> String {
    format!("{} of {}", used_told(used, unit), length.show(unit))
}

/// A length that is used, in words: never less than is used.
#[must_use]
pub fn used_told(used: Length, unit: Unit) -> String {
    // What is used to the very step is not told as one more.
    let steps = ((used.mm() - SAME_POINT) * steps_told(unit)).ceil();
    Length::from_mm(steps / steps_told(unit)).show(unit)
}

/// In how many steps a millimetre of cloth is told: tenths of it, or the sixteenths of an inch in which lengths are shown.
fn steps_told(unit: Unit) -> f64 {
    match unit {
        Unit::Millimetre | Unit::Centimetre => 10.0,
        Unit::Inch => INCH_PARTS as f64 / MM_PER_INCH,
    }
}

impl LaidMatch {
    /// Whether like meets like far enough, each time that the seam is sewn: stripes all along, over a length that is worth
    /// it, or at the notch, which is as far as those of an eased sleeve do; colours where they look alike on the mean.
    #[must_use]
    pub fn is_met(&self) -> bool {
        self.stripes().all(|(_, met)| is_met(met)) && self.alike.as_ref().is_none_or(look_alike)
    }

    /// The sets of stripes that the cloth has, and what they are called.
    fn stripes(&self) -> impl Iterator<Item = (&'static str, &SeamMet)> {
        let is_known = self.met.sewings.iter().any(|sewing| sewing.met.is_some());
        let has_others = self.alike.is_some() || self.upright.is_some();
        let called = if self.upright.is_some() { "stripes across the width" } else { "stripes" };
        let across = (is_known || !has_others).then_some((called, &self.met));
        across.into_iter().chain(self.upright.as_ref().map(|met| ("stripes along the length", met)))
    }

    /// In words, for people: for each set of stripes one sentence, or one for each sewing where they differ; of colours one
    /// for each sewing.
    #[must_use]
    pub fn sentences(&self, unit: Unit) -> Vec<String> {
        self.told(unit).into_iter().flat_map(|told| told.sentences).collect()
    }

    /// The same, each set of stripes by itself.
    #[must_use]
    pub fn told(&self, unit: Unit) -> Vec<MatchTold> {
        let stripes = self.stripes().map(|(what, met)| MatchTold {
            is_met: is_met(met),
            sentences: self.of_stripes(what, met, unit),
        });
        let alike = self
            .alike
            .iter()
            .map(|alike| MatchTold { is_met: look_alike(alike), sentences: self.of_colours(alike, unit) });
        stripes.chain(alike).collect()
    }

    fn of_stripes(&self, what: &str, met: &SeamMet, unit: Unit) -> Vec<String> {
        let seam = &met.seam;
        let told: Vec<String> =
            met.sewings.iter().map(|sewing| self.of_sewing(what, met, sewing, unit)).collect();
        match told.split_first() {
            None => vec![format!("{seam}: its pieces are not laid, so that no {what} meet there")],
            Some((first, others)) if others.iter().all(|other| other == first) => {
                vec![format!("{seam}: {first}")]
            }
            Some(_) => {
                let all: Vec<(String, BodyHalf)> =
                    met.sewings.iter().map(|sewing| (names(sewing), sewing.half)).collect();
                let sewings = all.iter().zip(&told);
                sewings
                    .map(|(sewing, told)| format!("{seam}, {}: {told}", told_apart(sewing, &all)))
                    .collect()
            }
        }
    }

    fn of_colours(&self, alike: &SeamAlike, unit: Unit) -> Vec<String> {
        let seam = &alike.seam;
        if alike.sewings.is_empty() {
            return vec![format!("{seam}: its pieces are not laid, so that no colours meet there")];
        }
        let names =
            |sewing: &SewingAlike| sewing.names.each_ref().map(|names| names.join(", ")).join(" with ");
        let all: Vec<(String, BodyHalf)> =
            alike.sewings.iter().map(|sewing| (names(sewing), sewing.half)).collect();
        let told = |(sewing, called): (&SewingAlike, &(String, BodyHalf))| {
            let names = told_apart(called, &all);
            let Some(alike) = sewing.alike else {
                return format!("{seam}, {names}: it is not known what colours its pieces are cut from");
            };
            let at = Length::from_mm(alike.worst_at.round()).show(unit);
            let from = if self.met.at == MatchAt::Hem { "above the hem" } else { "from its start" };
            let unknown = match alike.unknown {
                0 => String::new(),
                count => format!("; at {count} of {} places they are not known", count + alike.known),
            };
            format!(
                "{seam}, {names}: colours differ by {:.1} on average, by {:.1} at worst, {at} {from}{unknown}",
                alike.mean, alike.worst
            )
        };
        alike.sewings.iter().zip(&all).map(told).collect()
    }

    fn of_sewing(&self, what: &str, seam: &SeamMet, sewing: &SewingMet, unit: Unit) -> String {
        let Some(met) = &sewing.met else {
            return format!("it is not known where the {what} lie on what its pieces are cut from");
        };
        if met.is_plain() {
            return "no mark of the cloth reaches this seam".to_owned();
        }
        if met.is_all_along() {
            return format!("{what} meet all along");
        }
        let (apart, marks) = (apart(met, unit), marks(met));
        let why = self.why(sewing.parting, met, unit);
        if met.stretch.is_some() && sewing.pairs.iter().any(is_lost) {
            // Why stripes part is told of the whole seam, and would be read of one of its pieces.
            let is_held = matches!(self.wish, WishKept::Held | WishKept::ByHand);
            return of_pairs(what, sewing, unit) + if is_held { "" } else { &why };
        }
        let show = |mm: f64| Length::from_mm(mm.round()).show(unit);
        let (from, to) = match met.stretch {
            Some(stretch) => stretch,
            None => return format!("{what} do not meet, they are off {apart}{marks}{why}"),
        };
        let at_anchor = (from - SAME_POINT..=to + SAME_POINT).contains(&seam.anchor);
        let [first, last, all] = [from, to, met.whole.1].map(show);
        let meets = match seam.at {
            MatchAt::Hem if at_anchor => format!("{what} meet from the hem up for {}", show(to - from)),
            MatchAt::Notch if at_anchor => {
                format!("{what} meet around the notch, from {first} to {last} of {all}")
            }
            MatchAt::Hem => format!("{what} meet from {first} to {last} above the hem"),
            MatchAt::Notch | MatchAt::Start => format!("{what} meet from {first} to {last} of {all}"),
        };
        format!("{meets}, then part {apart}{marks}{why}")
    }

    /// Why stripes do not meet farther.
    fn why(&self, parting: Parting, met: &MetAlong, unit: Unit) -> String {
        match self.wish {
            WishKept::Held if met.stretch.is_none() && met.marks.is_some() => {
                ": no mark lies where the two edges are alike".to_owned()
            }
            WishKept::Held => reason(parting, unit),
            WishKept::ByHand if met.stretch.is_none() => String::new(),
            WishKept::ByHand => reason(parting, unit),
            WishKept::NotWorthIt(parting) => format!("; they cannot here{}", reason(parting, unit)),
            WishKept::Contradicted(_) => {
                ": the seams named before this one leave it no other place".to_owned()
            }
            WishKept::GivenUp => ": no layout was found that holds them together here too".to_owned(),
        }
    }
}

/// What is told of a seam by one set of stripes, or by the colours.
#[derive(Clone, Debug, PartialEq)]
pub struct MatchTold {
    /// Whether like meets like far enough.
    pub is_met: bool,
    /// In words, for people.
    pub sentences: Vec<String>,
}

/// Whether colours look alike on the mean, each time that the seam is sewn.
fn look_alike(alike: &SeamAlike) -> bool {
    let mut known = alike.sewings.iter().filter_map(|sewing| sewing.alike).peekable();
    known.peek().is_some() && known.all(|alike| alike.mean <= COLOURS_ALIKE)
}

/// Whether the stripes of one set meet far enough.
fn is_met(met: &SeamMet) -> bool {
    let far_enough = |found: &MetAlong| {
        let enough = found.is_all_along() || found.meets() >= LEAST_MATCH;
        found.is_plain() || enough || (met.at == MatchAt::Notch && found.stretch.is_some())
    };
    // What one piece meets is not made up for by what another misses.
    let meets = |sewing: &SewingMet| {
        sewing.met.as_ref().map(|met| far_enough(met) && !sewing.pairs.iter().any(is_lost))
    };
    let mut known = met.sewings.iter().filter_map(meets).peekable();
    known.peek().is_some() && known.all(|meets| meets)
}

impl LaidLevel {
    /// Whether it lies at the same place of the pattern in all copies.
    #[must_use]
    pub fn is_met(&self) -> bool {
        match &self.met {
            LevelMet::Stripes(off, _) => *off <= STRIPES_MEET,
            LevelMet::Colours(alike) => alike.mean <= COLOURS_ALIKE,
            LevelMet::Unknown => false,
        }
    }

    /// In words, for people: how it lies, and where it is bent.
    #[must_use]
    pub fn sentences(&self, unit: Unit) -> Vec<String> {
        let tenth = |mm: f64| Length::from_mm(mm).to_tenths().show(unit);
        let level = &self.wished.level;
        let on =
            format!("level {level}, {} of {}", counted_as(self.copies, "copy", "copies"), self.wished.cloth);
        let given_up = match self.wish {
            WishKept::GivenUp => ": no layout was found that holds them all",
            _ => "",
        };
        let mut found = vec![match &self.met {
            LevelMet::Stripes(off, _) if *off <= STRIPES_MEET => {
                format!("{on}: at the same place of the pattern within {}", tenth(*off))
            }
            LevelMet::Stripes(off, copy) if off.is_finite() => {
                format!("{on}: off by up to {} in the pattern, in {copy}{given_up}", tenth(*off))
            }
            LevelMet::Stripes(_, copy) => {
                format!("{on}: no like mark lies beside it in {copy}{given_up}")
            }
            LevelMet::Colours(alike) => format!(
                "{on}: at the same height colours differ by {:.1} on average, by {:.1} at worst",
                alike.mean, alike.worst
            ),
            LevelMet::Unknown => format!("{on}: it is not known what the cloth looks like there"),
        }];
        let bent = self.wished.places.iter().filter(|place| place.spread > STRIPES_MEET);
        found.extend(bent.map(|place| {
            format!(
                "level {level} of {} is bent: beyond a dart or a seam it lies up to {} off, and must miss there",
                place.piece,
                tenth(place.spread)
            )
        }));
        found
    }
}

/// Whether like meets like nowhere between two copies, though something reaches them.
fn is_lost(pair: &PairMet) -> bool {
    pair.met.as_ref().is_some_and(MetAlong::is_nowhere)
}

/// By how much like is from like at the worst.
fn apart(met: &MetAlong, unit: Unit) -> String {
    // Where nothing like a mark crosses the other edge, the nearest lies elsewhere on the cloth.
    match met.worst > met.whole.1 {
        true => "by more than the seam is long, as a mark has none like it on the other edge".to_owned(),
        false => format!("by up to {}", Length::from_mm(met.worst).to_tenths().show(unit)),
    }
}

/// How many marks meet, of a pattern that is marked one by one.
fn marks(met: &MetAlong) -> String {
    met.marks.map_or_else(String::new, |(meet, miss)| {
        format!(" ({}, {miss} not)", counted_as(meet, "mark meets", "marks meet"))
    })
}

/// What is told of each two pieces by themselves: `stripes meet with front from 271 mm to 556 mm; with back they do not
/// meet, ...`.
fn of_pairs(what: &str, sewing: &SewingMet, unit: Unit) -> String {
    let show = |mm: f64| Length::from_mm(mm.round()).show(unit);
    let known = || sewing.pairs.iter().filter_map(|pair| Some((pair, pair.met.as_ref()?)));
    let all = sewing.met.as_ref().map_or(0.0, |met| met.whole.1);
    let met = known().filter_map(|(pair, met)| {
        let ((from, to), misses) = (met.stretch?, met.misses_at.is_some());
        let parts =
            if misses { format!(", then part {}{}", apart(met, unit), marks(met)) } else { String::new() };
        let [from, to, all] = [from, to, all].map(show);
        Some(format!("{what} meet with {} from {from} to {to} of {all}{parts}", beside(sewing, pair)))
    });
    let lost = known().filter(|(pair, _)| is_lost(pair)).map(|(pair, met)| {
        format!(
            "with {} they do not meet, they are off {}{}",
            beside(sewing, pair),
            apart(met, unit),
            marks(met)
        )
    });
    met.chain(lost).collect::<Vec<_>>().join("; ")
}

/// The piece by which a pair is told from the others of a seam; both where both change along it.
fn beside(sewing: &SewingMet, pair: &PairMet) -> String {
    let changes = |side: usize| sewing.pairs.iter().any(|other| other.pieces[side] != pair.pieces[side]);
    let told = pair.pieces.iter().enumerate().filter(|(side, _)| changes(*side) || !changes(1 - *side));
    told.map(|(_, piece)| piece.to_string()).collect::<Vec<_>>().join(" and ")
}

fn reason(parting: Parting, unit: Unit) -> String {
    match parting {
        Parting::Nowhere | Parting::Unknown => String::new(),
        Parting::Joint { beyond, .. } if beyond <= MATCH_STEP => {
            ": there a dart or another edge begins".to_owned()
        }
        Parting::Joint { at, .. } => {
            let at = Length::from_mm(at.round()).show(unit);
            format!(": at {at} a dart or another edge begins")
        }
        Parting::Angle(degrees) if degrees < EDGES_APART_TOLD => {
            ": there the two edges curve apart".to_owned()
        }
        Parting::Angle(degrees) => format!(": the two edges stand {degrees:.1}° apart to the grain there"),
    }
}

/// What a sewing is called; with the half of the body where another one, of the same pieces on a fold, is called the same.
fn told_apart(sewing: &(String, BodyHalf), all: &[(String, BodyHalf)]) -> String {
    let (names, half) = sewing;
    let half = match half {
        BodyHalf::Right => "right",
        BodyHalf::Left => "left",
    };
    match all.iter().filter(|(other, _)| other == names).count() {
        0 | 1 => names.clone(),
        _ => format!("{names}, {half} half"),
    }
}

/// The copies of a sewing: `sleeve R with bodice-front R, bodice-back R`.
fn names(sewing: &SewingMet) -> String {
    let mut sides: [Vec<&str>; 2] = [Vec::new(), Vec::new()];
    for pair in &sewing.pairs {
        for (side, name) in sides.iter_mut().zip(&pair.names) {
            if !side.contains(&name.as_str()) {
                side.push(name);
            }
        }
    }
    sides.map(|side| side.join(", ")).join(" with ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Read again, what is told as used is never less than is used, nor a whole step more; and what is told as left over
        /// is never more than is left.
        #[test]
        fn what_is_used_is_never_told_too_small(used in 0.0..20_000.0_f64) {
            for unit in [Unit::Millimetre, Unit::Centimetre, Unit::Inch] {
                let told: Length = used_told(Length::from_mm(used), unit).parse().expect("a length");
                let step = 1.0 / steps_told(unit);
                prop_assert!(told.mm() >= used - 2.0 * SAME_POINT, "{used} as {} mm", told.mm());
                prop_assert!(told.mm() <= used + step + SAME_POINT, "{used} as {} mm", told.mm());
                let usage = GroundUse { used: 0.0, copies: 1, leftover: Some((100.0, used)) };
                let left = usage.left_over(unit).expect("something is left");
                let left: Length = left.rsplit(" × ").next().expect("a length").parse().expect("a length");
                prop_assert!(left.mm() <= used + SAME_POINT, "{used} left as {} mm", left.mm());
            }
        }
    }
}
