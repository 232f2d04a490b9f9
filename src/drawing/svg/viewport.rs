//! How the root's size and `viewBox` make millimetres of user units, and how a `viewBox` is fitted.

use std::str::FromStr;

use kurbo::{Affine, Point, Rect, Size, Vec2};
use svgtypes::{Align, AspectRatio, ViewBox};

use super::length::{MM_PER_PX, WrittenLength};
use crate::drawing::error::{DrawingError, NamedElement};
use crate::drawing::unit::{ReadOptions, UnitSource, UserUnit};
use crate::tolerance::UNEQUAL_SCALES;

/// The root's attributes as written.
pub(super) struct RootSize<'a> {
    pub(super) element: NamedElement,
    pub(super) width: Option<&'a str>,
    pub(super) height: Option<&'a str>,
    pub(super) view_box: Option<&'a str>,
    pub(super) aspect: Option<&'a str>,
}

/// How the root's user units lie on the sheet.
#[derive(Clone, Debug)]
pub(super) struct RootFit {
    pub(super) to_mm: Affine,
    /// Size of the sheet, mm.
    pub(super) size: Option<Size>,
    /// What percentages are of, in user units.
    pub(super) viewport: Option<Size>,
    /// Millimetres in a px of the root's own surroundings, in which its `transform` is written.
    pub(super) mm_per_px: f64,
    pub(super) source: UnitSource,
}

/// A root's size after parsing.
#[derive(Clone, Copy)]
struct Stated {
    width: Option<WrittenLength>,
    height: Option<WrittenLength>,
    view_box: Option<Rect>,
    aspect: AspectRatio,
}

/// Fits the root by what the user says, else by its physical size.
///
/// # Errors
///
/// No physical size and nothing said; a size or `viewBox` that cannot be used; unequal scales.
pub(super) fn fit_root(root: &RootSize<'_>, options: &ReadOptions) -> Result<RootFit, DrawingError> {
    let stated = parse_root(root)?;
    let by_file = if stated.is_physical() { Some(stated.by_size(root, MM_PER_PX)?) } else { None };
    match (options.unit, by_file) {
        (None, Some(fitted)) => Ok(fitted),
        (None, None) => Err(DrawingError::NoUnit {
            width: root.width.map(str::to_owned),
            height: root.height.map(str::to_owned),
            line: root.element.line,
        }),
        (Some(unit), by_file) => {
            let mut fitted = match unit {
                UserUnit::Px if by_file.is_none() => stated.by_size(root, MM_PER_PX)?,
                _ => stated.by_unit(unit.mm()),
            };
            let mm_per_unit = fitted.source.mm_per_unit();
            let stated = by_file.map(|by_file| by_file.source.mm_per_unit());
            fitted.source = UnitSource::Told { unit, mm_per_unit, stated };
            Ok(fitted)
        }
    }
}

/// Fits the root so that one user unit is `mm_per_unit`, and tells what the file itself states.
///
/// # Errors
///
/// A size or `viewBox` that cannot be read.
pub(super) fn fit_root_at(
    root: &RootSize<'_>,
    mm_per_unit: f64,
) -> Result<(RootFit, Option<f64>), DrawingError> {
    let stated = parse_root(root)?;
    let by_file = if stated.is_physical() { stated.by_size(root, MM_PER_PX).ok() } else { None };
    Ok((stated.by_unit(mm_per_unit), by_file.map(|by_file| by_file.source.mm_per_unit())))
}

fn parse_root(root: &RootSize<'_>) -> Result<Stated, DrawingError> {
    let bad = |attribute, value: &str, reason: &str| DrawingError::BadSize {
        attribute,
        value: crate::drawing::common::quoted(value),
        reason: reason.to_owned(),
        line: root.element.line,
    };
    let side =
        |attribute, value: Option<&str>| match value.filter(|value| !matches!(value.trim(), "" | "auto")) {
            None => Ok(None),
            Some(value) => {
                let written = WrittenLength::parse(value).map_err(|reason| bad(attribute, value, reason))?;
                let (WrittenLength::Physical(number)
                | WrittenLength::Px(number)
                | WrittenLength::Percent(number)) = written;
                if number > 0.0 && number.is_finite() {
                    Ok(Some(written))
                } else {
                    Err(bad(attribute, value, "it must be over zero"))
                }
            }
        };
    Ok(Stated {
        width: side("width", root.width)?,
        height: side("height", root.height)?,
        view_box: match root.view_box {
            None => None,
            Some(value) => Some(parse_view_box(value).map_err(|reason| bad("viewBox", value, reason))?),
        },
        aspect: match root.aspect {
            None => AspectRatio::default(),
            Some(value) => parse_aspect(value).map_err(|reason| bad("preserveAspectRatio", value, reason))?,
        },
    })
}

impl Stated {
    fn is_physical(&self) -> bool {
        [self.width, self.height].iter().any(|side| matches!(side, Some(WrittenLength::Physical(_))))
    }

    /// By width and height, a px being `mm_per_px`; without them a user unit is a px.
    fn by_size(&self, root: &RootSize<'_>, mm_per_px: f64) -> Result<RootFit, DrawingError> {
        let mm = |side: Option<WrittenLength>| match side {
            Some(WrittenLength::Physical(mm)) => Some(mm),
            Some(WrittenLength::Px(px)) => Some(px * mm_per_px),
            Some(WrittenLength::Percent(_)) | None => None,
        };
        let (width, height) = (mm(self.width), mm(self.height));
        let Some(view_box) = self.view_box else {
            let size = width.zip(height).map(|(width, height)| Size::new(width, height));
            return Ok(RootFit {
                to_mm: Affine::scale(mm_per_px),
                size,
                viewport: size.map(|size| size / mm_per_px),
                mm_per_px,
                source: UnitSource::Stated { mm_per_unit: mm_per_px },
            });
        };
        let size = match (width, height) {
            (Some(width), Some(height)) => Size::new(width, height),
            (Some(width), None) => view_box.size() * (width / view_box.width()),
            (None, Some(height)) => view_box.size() * (height / view_box.height()),
            (None, None) => view_box.size() * mm_per_px,
        };
        let fit = ViewBoxFit::new(view_box, size, self.aspect);
        let unequal = (fit.scale.x - fit.scale.y).abs() > UNEQUAL_SCALES * fit.scale.x.max(fit.scale.y);
        if unequal {
            return Err(DrawingError::UnequalScales {
                element: root.element.clone(),
                across: fit.scale.x,
                down: fit.scale.y,
            });
        }
        Ok(RootFit {
            to_mm: fit.affine(),
            size: Some(size),
            viewport: Some(view_box.size()),
            mm_per_px,
            source: UnitSource::Stated { mm_per_unit: fit.scale.x },
        })
    }

    /// One user unit is `mm`, whatever the size says.
    fn by_unit(&self, mm: f64) -> RootFit {
        let px = |side: Option<WrittenLength>| match side {
            Some(WrittenLength::Px(px)) => Some(px),
            Some(WrittenLength::Physical(millimetres)) => Some(millimetres / MM_PER_PX),
            Some(WrittenLength::Percent(_)) | None => None,
        };
        let by_size = px(self.width).zip(px(self.height)).map(|(width, height)| Size::new(width, height));
        let viewport = self.view_box.map(|view_box| view_box.size()).or(by_size);
        let corner = self.view_box.map_or(Vec2::ZERO, |view_box| view_box.origin().to_vec2());
        RootFit {
            to_mm: Affine::scale(mm) * Affine::translate(-corner),
            size: viewport.map(|viewport| viewport * mm),
            viewport,
            mm_per_px: mm,
            source: UnitSource::Stated { mm_per_unit: mm },
        }
    }
}

/// A `viewBox` in a viewport.
#[derive(Clone, Copy, Debug)]
pub(super) struct ViewBoxFit {
    view_box: Rect,
    pub(super) scale: Vec2,
    offset: Vec2,
}

impl ViewBoxFit {
    /// Fits `view_box` into `size` (SVG 2, 8.2: "equivalent transform of an SVG viewport").
    pub(super) fn new(view_box: Rect, size: Size, aspect: AspectRatio) -> Self {
        let free = Vec2::new(size.width / view_box.width(), size.height / view_box.height());
        let scale = match (aspect.align, aspect.slice) {
            (Align::None, _) => free,
            (_, false) => Vec2::new(1.0, 1.0) * free.x.min(free.y),
            (_, true) => Vec2::new(1.0, 1.0) * free.x.max(free.y),
        };
        let spare =
            Vec2::new(size.width - view_box.width() * scale.x, size.height - view_box.height() * scale.y);
        let (across, down) = shares(aspect.align);
        Self { view_box, scale, offset: Vec2::new(spare.x * across, spare.y * down) }
    }

    /// From user units inside to units of the viewport, whose corner is the origin.
    pub(super) fn affine(&self) -> Affine {
        Affine::translate(self.offset)
            * Affine::scale_non_uniform(self.scale.x, self.scale.y)
            * Affine::translate(-self.view_box.origin().to_vec2())
    }
}

/// How much of the spare room goes before the picture.
fn shares(align: Align) -> (f64, f64) {
    match align {
        Align::None | Align::XMinYMin => (0.0, 0.0),
        Align::XMidYMin => (0.5, 0.0),
        Align::XMaxYMin => (1.0, 0.0),
        Align::XMinYMid => (0.0, 0.5),
        Align::XMidYMid => (0.5, 0.5),
        Align::XMaxYMid => (1.0, 0.5),
        Align::XMinYMax => (0.0, 1.0),
        Align::XMidYMax => (0.5, 1.0),
        Align::XMaxYMax => (1.0, 1.0),
    }
}

/// # Errors
///
/// What is wrong, as the end of a sentence.
pub(super) fn parse_view_box(text: &str) -> Result<Rect, &'static str> {
    let reason = "four numbers were expected, the last two over zero";
    let parsed = ViewBox::from_str(text).map_err(|_| reason)?;
    let corner = Point::new(parsed.x, parsed.y);
    if parsed.w > 0.0 && parsed.h > 0.0 {
        Ok(Rect::from_origin_size(corner, (parsed.w, parsed.h)))
    } else {
        Err(reason)
    }
}

/// # Errors
///
/// What is wrong, as the end of a sentence.
pub(super) fn parse_aspect(text: &str) -> Result<AspectRatio, &'static str> {
    AspectRatio::from_str(text)
        .map_err(|_| "none, or an alignment such as xMidYMid with meet or slice, was expected")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn root<'a>(width: &'a str, height: &'a str, view_box: &'a str, aspect: &'a str) -> RootSize<'a> {
        let given = |text: &'a str| Some(text).filter(|text| !text.is_empty());
        RootSize {
            element: NamedElement { tag: "svg".to_owned(), id: None, line: 1, column: 1 },
            width: given(width),
            height: given(height),
            view_box: given(view_box),
            aspect: given(aspect),
        }
    }

    fn fitted(width: &str, height: &str, view_box: &str, aspect: &str) -> RootFit {
        fit_root(&root(width, height, view_box, aspect), &ReadOptions::default()).expect("fits")
    }

    fn refused(width: &str, height: &str, view_box: &str, aspect: &str) -> DrawingError {
        fit_root(&root(width, height, view_box, aspect), &ReadOptions::default()).expect_err("refused")
    }

    #[test]
    fn our_own_sheets_come_through_bit_for_bit() {
        for size in [900.0, 123.4, 1189.35] {
            let side = format!("{size}mm");
            let fitted = fitted(&side, &side, &format!("0 0 {size} {size}"), "");
            assert_eq!(fitted.to_mm, Affine::IDENTITY);
            assert_eq!(fitted.size, Some(Size::new(size, size)));
        }
    }

    #[test]
    fn physical_sizes_scale_the_view_box() {
        let of = |width: &str, view_box: &str| fitted(width, "", view_box, "").source.mm_per_unit();
        approx::assert_relative_eq!(of("10in", "0 0 10 20"), 25.4, max_relative = 1e-15);
        approx::assert_relative_eq!(of("720pt", "0 0 720 20"), 25.4 / 72.0, max_relative = 1e-15);
        approx::assert_relative_eq!(of("90cm", "0 0 1800 20"), 0.5, max_relative = 1e-15);
        assert_eq!(fitted("", "300mm", "0 0 100 200", "").size, Some(Size::new(150.0, 300.0)));
        assert_eq!(fitted("100%", "300mm", "0 0 100 200", "").size, Some(Size::new(150.0, 300.0)));
    }

    #[test]
    fn millimetres_without_a_view_box_leave_units_of_a_96th_of_an_inch() {
        let fitted = fitted("200mm", "100mm", "", "");
        assert_eq!(fitted.to_mm, Affine::scale(25.4 / 96.0));
        assert_eq!(fitted.size, Some(Size::new(200.0, 100.0)));
    }

    /// SVG 2, 8.6: meet keeps all of the viewBox in sight, slice covers the viewport.
    #[test]
    fn spare_room_goes_where_the_alignment_says() {
        let corner =
            |aspect: &str| fitted("200mm", "100mm", "10 20 100 100", aspect).to_mm * Point::new(10.0, 20.0);
        assert_eq!(corner(""), Point::new(50.0, 0.0));
        assert_eq!(corner("xMinYMid"), Point::new(0.0, 0.0));
        assert_eq!(corner("xMaxYMid meet"), Point::new(100.0, 0.0));
        assert_eq!(corner("xMidYMid slice"), Point::new(0.0, -50.0));
        assert_eq!(corner("xMidYMax slice"), Point::new(0.0, -100.0));
    }

    #[test]
    fn stretched_sheets_are_refused_with_both_scales() {
        match refused("200mm", "100mm", "0 0 100 100", "none") {
            DrawingError::UnequalScales { across, down, .. } => assert_eq!((across, down), (2.0, 1.0)),
            other => panic!("{other}"),
        }
        let rounded = fitted("210mm", "297mm", "0 0 595.28 841.89", "none");
        approx::assert_relative_eq!(rounded.source.mm_per_unit(), 25.4 / 72.0, max_relative = 1e-4);
    }

    #[test]
    fn sizes_that_are_not_physical_are_refused() {
        for (width, height) in [("900px", "600px"), ("900", "600"), ("100%", "100%"), ("", ""), ("auto", "")]
        {
            assert!(
                matches!(refused(width, height, "0 0 900 600", ""), DrawingError::NoUnit { .. }),
                "{width}"
            );
            assert!(matches!(refused(width, height, "", ""), DrawingError::NoUnit { .. }), "{width}");
        }
    }

    #[test]
    fn unusable_sizes_are_refused() {
        for (width, view_box, aspect) in [
            ("0mm", "", ""),
            ("-5mm", "", ""),
            ("5em", "", ""),
            ("5mm", "0 0 0 5", ""),
            ("5mm", "0 0 -5 5", ""),
            ("5mm", "0 0 5", ""),
            ("5mm", "", "middle"),
        ] {
            assert!(
                matches!(refused(width, "", view_box, aspect), DrawingError::BadSize { .. }),
                "{width} {view_box} {aspect}"
            );
        }
    }

    /// `--unit` says what a user unit is; only px follow the size against the viewBox, as on a screen.
    #[test]
    fn a_unit_given_makes_millimetres_of_bare_numbers() {
        let told = |width: &str, unit: UserUnit| {
            let options = ReadOptions { unit: Some(unit), known: None };
            fit_root(&root(width, "", "0 0 900 600", ""), &options).expect("fits").source
        };
        assert_eq!(told("900", UserUnit::Mm).mm_per_unit(), 1.0);
        assert_eq!(told("450", UserUnit::Cm).mm_per_unit(), 10.0);
        approx::assert_relative_eq!(told("900px", UserUnit::Px).mm_per_unit(), 25.4 / 96.0);
        approx::assert_relative_eq!(told("450px", UserUnit::Px).mm_per_unit(), 25.4 / 192.0);
        approx::assert_relative_eq!(told("", UserUnit::Pt).mm_per_unit(), 25.4 / 72.0);
        let overridden = UnitSource::Told { unit: UserUnit::In, mm_per_unit: 25.4, stated: Some(1.0) };
        assert_eq!(told("900mm", UserUnit::In), overridden);
    }
}
