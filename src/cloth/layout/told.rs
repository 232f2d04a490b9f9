//! What is said of the stripes along a seam, from what was measured.

use crate::cloth::layout::{LaidMatch, MatchAt, Met, Parting, SewingMet, WishKept};
use crate::tolerance::{EDGES_APART_TOLD, LEAST_MATCH, SAME_POINT};
use crate::units::{Length, Unit, counted_as};

impl LaidMatch {
    /// Whether the stripes meet far enough, each time that the seam is sewn: all along, over a length that is worth it,
    /// or at the notch, which is as far as those of an eased sleeve do.
    #[must_use]
    pub fn is_met(&self) -> bool {
        let met = |met: &Met| {
            let enough = met.is_all_along() || met.meets() >= LEAST_MATCH;
            met.is_plain() || enough || (self.met.at == MatchAt::Notch && met.stretch.is_some())
        };
        let mut known = self.met.sewings.iter().filter_map(|sewing| sewing.met.as_ref()).peekable();
        known.peek().is_some() && known.all(met)
    }

    /// In words, for people: one sentence, or one for each sewing where they differ.
    #[must_use]
    pub fn sentences(&self, unit: Unit) -> Vec<String> {
        let seam = &self.met.seam;
        let told: Vec<String> = self.met.sewings.iter().map(|sewing| self.told(sewing, unit)).collect();
        match told.split_first() {
            None => vec![format!("{seam}: its pieces are not laid, so that no stripes meet there")],
            Some((first, others)) if others.iter().all(|other| other == first) => {
                vec![format!("{seam}: {first}")]
            }
            Some(_) => {
                let sewings = self.met.sewings.iter().zip(&told);
                sewings.map(|(sewing, told)| format!("{seam}, {}: {told}", names(sewing))).collect()
            }
        }
    }

    fn told(&self, sewing: &SewingMet, unit: Unit) -> String {
        let Some(met) = &sewing.met else {
            return "it is not known where the stripes lie on what its pieces are cut from".to_owned();
        };
        if met.is_plain() {
            return "no mark of the cloth reaches this seam".to_owned();
        }
        if met.is_all_along() {
            return "stripes meet all along".to_owned();
        }
        let show = |mm: f64| Length::from_mm(mm.round()).show(unit);
        let worst = Length::from_mm((met.worst * 10.0).round() / 10.0).show(unit);
        let marks = met.marks.map_or_else(String::new, |(meet, miss)| {
            format!(" ({}, {miss} not)", counted_as(meet, "mark meets", "marks meet"))
        });
        let why = self.why(sewing.parting, met);
        let (from, to) = match met.stretch {
            Some(stretch) => stretch,
            None => return format!("stripes do not meet, they are off by up to {worst}{marks}{why}"),
        };
        let at_anchor = (from - SAME_POINT..=to + SAME_POINT).contains(&self.met.anchor);
        let [first, last, all] = [from, to, met.whole.1].map(show);
        let meets = match self.met.at {
            MatchAt::Hem if at_anchor => format!("stripes meet from the hem up for {}", show(to - from)),
            MatchAt::Notch if at_anchor => {
                format!("stripes meet around the notch, from {first} to {last} of {all}")
            }
            MatchAt::Hem => format!("stripes meet from {first} to {last} above the hem"),
            MatchAt::Notch | MatchAt::Start => format!("stripes meet from {first} to {last} of {all}"),
        };
        format!("{meets}, then part by up to {worst}{marks}{why}")
    }

    /// Why stripes do not meet farther.
    fn why(&self, parting: Parting, met: &Met) -> String {
        match self.wish {
            WishKept::Held if met.stretch.is_none() && met.marks.is_some() => {
                ": no mark lies where the two edges are alike".to_owned()
            }
            WishKept::Held => reason(parting),
            WishKept::NotWorthIt(parting) => format!("; they cannot here{}", reason(parting)),
            WishKept::Contradicted(_) => {
                ": the seams named before this one leave it no other place".to_owned()
            }
            WishKept::GivenUp => ": no layout was found that holds them together here too".to_owned(),
        }
    }
}

fn reason(parting: Parting) -> String {
    match parting {
        Parting::Nowhere => String::new(),
        Parting::Dart => ": there a dart or another edge begins".to_owned(),
        Parting::Angle(degrees) if degrees < EDGES_APART_TOLD => {
            ": there the two edges curve apart".to_owned()
        }
        Parting::Angle(degrees) => format!(": the two edges stand {degrees:.1}° apart to the grain there"),
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
