//! All the cloth at hand.

use indexmap::IndexMap;

use crate::cloth::bolt::not_negative;
use crate::cloth::colours::{Colouring, Photograph};
use crate::cloth::{Bolt, ClothError, Panel, Stripes, StripesAlong};
use crate::pattern::{ClothName, Pattern, PieceName, nearest};
use crate::tolerance::MOST_GROUNDS;
use crate::units::{Length, Unit};

/// Which edges of a cloth are finished, so that they may serve as edges of the garment.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Selvedges {
    /// Both.
    #[default]
    Both,
    /// The left one, the right side of the cloth up and its start away.
    Left,
    /// The right one.
    Right,
    /// None: the edges are cut or frayed.
    None,
}

/// Whether a cloth looks the same from both ends.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Direction {
    /// With nap, or a pattern that has an up and a down: all pieces lie the same way.
    OneWay,
    /// Pieces may lie either way.
    #[default]
    TwoWay,
}

/// Whether pieces may be cut with their grain across the cloth.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Crosswise {
    /// They may.
    Allowed,
    /// They may not.
    #[default]
    Forbidden,
}

/// A piece whose cloth is not at hand.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct WithoutCloth {
    /// The piece.
    pub piece: PieceName,
    /// The cloth that it names.
    pub cloth: ClothName,
}

/// One kind of cloth: the lengths and panels of it that are at hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Cloth {
    name: ClothName,
    bolts: Vec<Bolt>,
    panels: Vec<Panel>,
    stripes: Vec<Stripes>,
    gap: f64,
    /// Which edges are finished.
    pub selvedges: Selvedges,
    /// Whether it looks the same from both ends.
    pub direction: Direction,
    /// Whether pieces may lie across.
    pub crosswise: Crosswise,
}

impl Cloth {
    /// A plain cloth in lengths and panels.
    ///
    /// # Errors
    ///
    /// Refuses one that has neither, and one that has more of them than can be laid on.
    pub fn new(name: ClothName, bolts: Vec<Bolt>, panels: Vec<Panel>) -> Result<Cloth, ClothError> {
        if bolts.is_empty() && panels.is_empty() {
            return Err(ClothError::NoCloth);
        }
        let count = bolts.len() + panels.iter().map(|panel| panel.copies() as usize).sum::<usize>();
        if count > MOST_GROUNDS {
            return Err(ClothError::TooManyGrounds { cloth: name, count });
        }
        Ok(Cloth {
            name,
            bolts,
            panels,
            stripes: Vec::new(),
            gap: 0.0,
            selvedges: Selvedges::default(),
            direction: Direction::default(),
            crosswise: Crosswise::default(),
        })
    }

    /// The same cloth in other lengths.
    ///
    /// # Errors
    ///
    /// As [`Cloth::new`].
    pub fn of_bolts(&self, bolts: Vec<Bolt>) -> Result<Cloth, ClothError> {
        let Cloth { bolts, panels, .. } = Cloth::new(self.name.clone(), bolts, self.panels.clone())?;
        Ok(Cloth { bolts, panels, ..self.clone() })
    }

    /// The same cloth in other panels.
    ///
    /// # Errors
    ///
    /// As [`Cloth::new`].
    pub fn of_panels(&self, panels: Vec<Panel>) -> Result<Cloth, ClothError> {
        let Cloth { bolts, panels, .. } = Cloth::new(self.name.clone(), self.bolts.clone(), panels)?;
        Ok(Cloth { bolts, panels, ..self.clone() })
    }

    /// Sets how far apart pieces are cut at least.
    ///
    /// # Errors
    ///
    /// Refuses a negative one.
    pub fn set_gap(&mut self, gap: Length) -> Result<(), ClothError> {
        self.gap = not_negative("the gap between pieces", gap)?.mm();
        Ok(())
    }

    /// Adds stripes; at most one set for each way.
    ///
    /// # Errors
    ///
    /// Refuses a second set the same way.
    pub fn add_stripes(&mut self, stripes: Stripes) -> Result<(), ClothError> {
        if self.stripes.iter().any(|other| other.along == stripes.along) {
            return Err(ClothError::StripesTwice(stripes.along.word()));
        }
        self.stripes.push(stripes);
        Ok(())
    }

    /// What pieces name it by.
    #[must_use]
    pub fn name(&self) -> &ClothName {
        &self.name
    }

    /// The lengths of it.
    #[must_use]
    pub fn bolts(&self) -> &[Bolt] {
        &self.bolts
    }

    /// The panels of it.
    #[must_use]
    pub fn panels(&self) -> &[Panel] {
        &self.panels
    }

    /// Its stripes, at most one set for each way.
    #[must_use]
    pub fn stripes(&self) -> &[Stripes] {
        &self.stripes
    }

    /// Its stripes that run one way, if it has any.
    #[must_use]
    pub fn stripes_along(&self, along: StripesAlong) -> Option<&Stripes> {
        self.stripes.iter().find(|stripes| stripes.along == along)
    }

    /// Whether the colours of a length of it are told.
    #[must_use]
    pub fn has_colours(&self) -> bool {
        self.bolts.iter().any(|bolt| bolt.colouring().is_some())
    }

    /// Whether it looks otherwise from place to place along its length.
    #[must_use]
    pub fn changes_along(&self) -> bool {
        self.stripes_along(StripesAlong::Width).is_some() || self.has_colours()
    }

    /// Whether it has a pattern that can be met in a seam: stripes, marks or colours.
    #[must_use]
    pub fn has_pattern(&self) -> bool {
        !self.stripes.is_empty() || self.has_colours()
    }

    /// How far apart pieces are cut at least, mm.
    #[must_use]
    pub fn gap(&self) -> f64 {
        self.gap
    }

    /// Its area, mm²: all lengths and all copies of the panels, without the flaws.
    #[must_use]
    pub fn area(&self) -> f64 {
        let panels = self.panels.iter().map(|panel| panel.outline().area() * f64::from(panel.copies()));
        self.bolts.iter().map(Bolt::area).chain(panels).sum()
    }

    /// The greatest width that a stretch has all along on one of its lengths, mm; none where none is that long.
    #[must_use]
    pub fn width_over(&self, stretch: f64) -> Option<f64> {
        self.bolts.iter().filter_map(|bolt| bolt.width_over(stretch)).reduce(f64::max)
    }

    /// How long the longest length or panel is, mm.
    #[must_use]
    pub fn longest(&self) -> f64 {
        let panels = self.panels.iter().map(|panel| panel.reach().1);
        self.bolts.iter().map(Bolt::length).chain(panels).fold(0.0, f64::max)
    }
}

/// All the cloth at hand, by the names that pieces have for it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stock {
    cloths: IndexMap<ClothName, Cloth>,
}

impl Stock {
    /// The cloths at hand; of two with one name the later counts.
    ///
    /// # Errors
    ///
    /// Refuses none at all.
    pub fn new(cloths: impl IntoIterator<Item = Cloth>) -> Result<Stock, ClothError> {
        let cloths: IndexMap<ClothName, Cloth> =
            cloths.into_iter().map(|cloth| (cloth.name().clone(), cloth)).collect();
        if cloths.is_empty() { Err(ClothError::NoCloth) } else { Ok(Stock { cloths }) }
    }

    /// The cloths, in the order in which they were told.
    pub fn cloths(&self) -> impl ExactSizeIterator<Item = &Cloth> {
        self.cloths.values()
    }

    /// The cloth of a name, if it is at hand.
    #[must_use]
    pub fn find(&self, name: &ClothName) -> Option<&Cloth> {
        self.cloths.get(name)
    }

    /// The pieces of a pattern whose cloth is not at hand.
    pub fn pieces_without(&self, pattern: &Pattern) -> impl Iterator<Item = WithoutCloth> {
        let without = pattern.pieces().filter(|piece| piece.is_cut() && self.find(&piece.cloth).is_none());
        without.map(|piece| WithoutCloth { piece: piece.name().clone(), cloth: piece.cloth.clone() })
    }

    /// The panels, each with its cloth, of cloths that no piece of a pattern is cut from.
    pub fn panels_without_pieces<'a>(
        &'a self,
        pattern: &'a Pattern,
    ) -> impl Iterator<Item = (&'a ClothName, &'a Panel)> {
        let cut_from = |cloth: &Cloth| pattern.pieces().any(|piece| piece.cloth == *cloth.name());
        let unused = self.cloths().filter(move |cloth| !cut_from(cloth));
        unused.flat_map(|cloth| cloth.panels().iter().map(|panel| (cloth.name(), panel)))
    }

    /// What is to be looked at twice of what is told of the cloths' looks: photographs whose scales are apart, and stretches
    /// that none shows.
    #[must_use]
    pub fn notes(&self, unit: Unit) -> Vec<String> {
        let show = |mm: f64| Length::from_mm(mm).show(unit);
        let mut notes = Vec::new();
        for cloth in self.cloths() {
            for (number, bolt) in cloth.bolts().iter().enumerate() {
                let Some(Colouring::Photographed(pictures)) = bolt.colouring() else { continue };
                let of = match cloth.bolts().len() {
                    1 => format!("cloth `{}`", cloth.name()),
                    _ => format!("cloth `{}`, length {}", cloth.name(), number + 1),
                };
                let apart = pictures.iter().flat_map(Photograph::notes);
                notes.extend(apart.map(|note| format!("{of}: {}", note.sentence(unit))));
                let unknown =
                    bolt.colouring().map_or_else(Vec::new, |known| known.unknown(0.0, bolt.length()));
                notes.extend(unknown.into_iter().map(|(from, to)| {
                    format!(
                        "{of}: no picture shows it from {} to {}: colours there are not known",
                        show(from),
                        show(to)
                    )
                }));
            }
        }
        notes
    }

    /// The name at hand that is nearest to another.
    #[must_use]
    pub fn nearest(&self, name: &ClothName) -> Option<&str> {
        nearest(name.as_str(), self.cloths.keys().map(ClothName::as_str))
    }
}
