//! Papers: home sheets that are put together, large sheets, rolls.

use kurbo::Size;

use crate::units::{Length, MM_PER_INCH};

/// A paper of a standard size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum SheetSize {
    /// 210 × 297 mm: at home, nearly everywhere.
    A4,
    /// 8½ × 11 in: at home, in North America.
    Letter,
    /// 297 × 420 mm: an office copier, nearly everywhere.
    A3,
    /// 11 × 17 in: an office copier, in North America.
    Tabloid,
    /// 8½ × 14 in: in North America.
    Legal,
    /// 420 × 594 mm: a copy shop.
    A2,
    /// 594 × 841 mm: a copy shop.
    A1,
    /// 841 × 1189 mm: a copy shop, nearly everywhere.
    A0,
    /// 17 × 22 in: a copy shop, in North America.
    AnsiC,
    /// 22 × 34 in: a copy shop, in North America.
    AnsiD,
    /// 34 × 44 in: a copy shop, in North America.
    AnsiE,
}

/// How pieces come onto sheets of a size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Use {
    /// Pieces run over several sheets, which are put together.
    Together,
    /// Each piece stands whole on one sheet.
    Single,
}

/// Which bars are on a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bars {
    /// 100 mm.
    Millimetres,
    /// 100 mm, and 4 in beside them.
    AndInches,
}

impl SheetSize {
    /// Width and height upright, mm. Sizes by ISO 216, and by ANSI/ASME Y14.1 for those in inches.
    #[must_use]
    pub fn upright(self) -> Size {
        let inches = |width: f64, height: f64| Size::new(width * MM_PER_INCH, height * MM_PER_INCH);
        match self {
            SheetSize::A4 => Size::new(210.0, 297.0),
            SheetSize::A3 => Size::new(297.0, 420.0),
            SheetSize::A2 => Size::new(420.0, 594.0),
            SheetSize::A1 => Size::new(594.0, 841.0),
            SheetSize::A0 => Size::new(841.0, 1189.0),
            SheetSize::Letter => inches(8.5, 11.0),
            SheetSize::Legal => inches(8.5, 14.0),
            SheetSize::Tabloid => inches(11.0, 17.0),
            SheetSize::AnsiC => inches(17.0, 22.0),
            SheetSize::AnsiD => inches(22.0, 34.0),
            SheetSize::AnsiE => inches(34.0, 44.0),
        }
    }

    /// What it is called.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            SheetSize::A4 => "A4",
            SheetSize::A3 => "A3",
            SheetSize::A2 => "A2",
            SheetSize::A1 => "A1",
            SheetSize::A0 => "A0",
            SheetSize::Letter => "Letter",
            SheetSize::Legal => "Legal",
            SheetSize::Tabloid => "Tabloid",
            SheetSize::AnsiC => "ANSI C",
            SheetSize::AnsiD => "ANSI D",
            SheetSize::AnsiE => "ANSI E",
        }
    }

    fn usual(self) -> Use {
        match self {
            SheetSize::A4 | SheetSize::Letter | SheetSize::A3 | SheetSize::Tabloid | SheetSize::Legal => {
                Use::Together
            }
            _ => Use::Single,
        }
    }

    fn bars(self) -> Bars {
        match self {
            SheetSize::A4 | SheetSize::A3 | SheetSize::A2 | SheetSize::A1 | SheetSize::A0 => {
                Bars::Millimetres
            }
            _ => Bars::AndInches,
        }
    }
}

/// How a sheet lies.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Orientation {
    /// The short side is below.
    #[default]
    Portrait,
    /// The long side is below.
    Landscape,
}

/// What a projector throws: lines or the ground around them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum Throw {
    /// Light lines on a dark ground: on cloth that is light, or in a dark room.
    LightOnDark,
    /// Dark lines on a light ground: on cloth that is dark or busy.
    DarkOnLight,
}

/// How wide the page of a projector is at least, mm: what one throws from the height of a room.
const THROWN: f64 = 1200.0;

/// How much larger the page is than what is drawn on it, so that pieces find room beside one another: a share.
const THROWN_ROOM: f64 = 1.5;

/// What is printed on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Paper {
    /// Sheets of a standard size.
    Sheets(SheetSize, Orientation),
    /// A roll, cut off where the last piece ends.
    Roll {
        /// Its width.
        width: Length,
    },
    /// The light of a projector: one page for each cloth.
    Light(Throw),
}

impl Paper {
    /// Width and height, mm; a roll has no height of its own.
    #[must_use]
    pub fn size(self) -> (f64, Option<f64>) {
        match self {
            Paper::Roll { width } => (width.mm(), None),
            Paper::Light(_) => (THROWN, None),
            Paper::Sheets(size, Orientation::Portrait) => (size.upright().width, Some(size.upright().height)),
            Paper::Sheets(size, Orientation::Landscape) => {
                (size.upright().height, Some(size.upright().width))
            }
        }
    }

    /// The same where pieces take so much room, mm²: the light of a projector is as wide as they need to lie on one page.
    pub(super) fn size_for(self, area: f64) -> (f64, Option<f64>) {
        match self {
            Paper::Light(_) => ((area * THROWN_ROOM).sqrt().max(THROWN), None),
            _ => self.size(),
        }
    }

    /// Which bars stand on its pages.
    #[must_use]
    pub fn bars(self) -> Bars {
        match self {
            Paper::Sheets(size, _) => size.bars(),
            Paper::Roll { .. } | Paper::Light(_) => Bars::AndInches,
        }
    }

    /// How pieces usually come onto it.
    #[must_use]
    pub fn usual(self) -> Use {
        match self {
            Paper::Sheets(size, _) => size.usual(),
            Paper::Roll { .. } | Paper::Light(_) => Use::Single,
        }
    }

    /// What it is called.
    #[must_use]
    pub fn title(self) -> String {
        match self {
            Paper::Sheets(size, Orientation::Portrait) => size.title().to_owned(),
            Paper::Sheets(size, Orientation::Landscape) => format!("{} landscape", size.title()),
            Paper::Roll { width } => format!("roll {width} wide"),
            Paper::Light(_) => "a projector's light".to_owned(),
        }
    }
}
