//! The way out of a refusal: a sentence in which operations and their fields are named as data, so that a command line,
//! a recipe and a page can each write them in their own way.

use std::fmt;

use crate::pattern::{Operation, SewnFrom};

/// What the user can do.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Advice(Vec<AdvicePart>);

/// A part of a sentence of advice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AdvicePart {
    /// Words as they stand.
    Words(String),
    /// A field, and the value to give it where one is known.
    Field(Field, Option<String>),
    /// An operation, without fields where it is only mentioned.
    Step(Suggestion),
    /// What each format says in a sentence of its own.
    Remedy(Remedy),
}

/// An operation that would help, with the fields that are known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Suggestion {
    /// The operation.
    pub operation: Operation,
    /// Its fields and their values.
    pub fields: Vec<(Field, String)>,
}

/// What is to be written so that something is not refused, where each format writes it in words of its own.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Remedy {
    /// At which end of its second side a seam begins.
    SayFrom {
        /// The edges of the second side.
        names: String,
        /// Its two ends, the likelier first.
        ends: [SewnFrom; 2],
        /// Whether saying it is enough.
        settles: Settles,
    },
    /// At which corners the sewing comes onto the edges of both sides.
    SayCorners,
}

/// Whether a remedy is all that is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Settles {
    /// It is.
    Surely,
    /// It may leave something open that notches tell.
    Perhaps,
}

impl Remedy {
    /// What is to be written on a sheet.
    #[must_use]
    pub fn on_a_sheet(&self) -> String {
        self.written(|names, from| format!("data-sewn-to=\"{names} from {from}\""))
    }

    /// The same, with what an edge is sewn to, and from where, written as a caller does.
    pub fn written(&self, sewn_to: impl Fn(&str, &str) -> String) -> String {
        match self {
            Remedy::SayFrom { names, ends: [likely, other], settles } => {
                let notches = match settles {
                    Settles::Surely => "",
                    Settles::Perhaps => ", or draw notches that tell it",
                };
                format!("say it: {} (or from {other}){notches}", sewn_to(names, &likely.to_string()))
            }
            Remedy::SayCorners => {
                format!("name the corners on the edges of both sides: {}", sewn_to("A B", "0% 100%"))
            }
        }
    }
}

macro_rules! define_fields {
    ($($field:ident $name:literal,)+) => {
        /// A field of operations, or a setting of what reads and prints, that advice names.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum Field {
            $(
                #[doc = concat!("`", $name, "`")]
                $field,
            )+
        }

        impl Field {
            /// All of them.
            pub const ALL: &[Field] = &[$(Field::$field),+];

            /// Its name in recipes, and on a command line behind two dashes.
            #[must_use]
            pub fn name(self) -> &'static str {
                match self { $(Field::$field => $name,)+ }
            }
        }
    };
}

define_fields! {
    Allowance "allowance",
    Along "along",
    At "at",
    Blend "blend",
    Button "button",
    By "by",
    Cloth "cloth",
    CornerAngle "corner-angle",
    CorrectScale "correct-scale",
    Cut "cut",
    Dart "dart",
    Darts "darts",
    Depth "depth",
    Ease "ease",
    Edge "edge",
    Edges "edges",
    Ends "ends",
    Finish "finish",
    For "for",
    From "from",
    FromEnd "from-end",
    FromWidth "from-width",
    Known "known",
    Lap "lap",
    Line "line",
    Longer "longer",
    Measured "measured",
    Measures "measures",
    Name "name",
    Names "names",
    Over "over",
    Pages "pages",
    PasswordFile "password-file",
    Piece "piece",
    Pleat "pleat",
    Raise "raise",
    Seam "seam",
    Selvedge "selvedge",
    Shape "shape",
    SewnTo "sewn-to",
    Shaping "shaping",
    Shorter "shorter",
    Size "size",
    Smooth "smooth",
    Title "title",
    To "to",
    ToWidth "to-width",
    Unit "unit",
    Width "width",
}

impl Field {
    /// The field with a value.
    pub fn set(self, value: impl fmt::Display) -> AdvicePart {
        AdvicePart::Field(self, Some(value.to_string()))
    }
}

impl Operation {
    /// The operation with a field.
    pub fn with(self, field: Field, value: impl fmt::Display) -> Suggestion {
        Suggestion { operation: self, fields: vec![(field, value.to_string())] }
    }
}

/// What stands for a place that only the user knows.
const PLACE: &str = "PLACE";

impl Suggestion {
    /// The same with a field for a place that only the user knows.
    #[must_use]
    pub fn asking_place(self, field: Field) -> Suggestion {
        self.with(field, PLACE)
    }

    /// The field for a place that only the user knows, if there is one.
    #[must_use]
    pub fn place_asked(&self) -> Option<Field> {
        self.fields.iter().find(|(_, value)| value == PLACE).map(|(field, _)| *field)
    }

    /// The same with one more field.
    #[must_use]
    pub fn with(mut self, field: Field, value: impl fmt::Display) -> Suggestion {
        self.fields.push((field, value.to_string()));
        self
    }
}

impl Advice {
    /// A sentence of parts.
    #[must_use]
    pub fn of(parts: impl IntoIterator<Item = AdvicePart>) -> Advice {
        Advice(parts.into_iter().collect())
    }

    /// The sentence with one more part.
    #[must_use]
    pub fn and(mut self, part: impl Into<AdvicePart>) -> Advice {
        self.0.push(part.into());
        self
    }

    /// Whether it says nothing.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Its parts in order.
    #[must_use]
    pub fn parts(&self) -> &[AdvicePart] {
        &self.0
    }

    /// The sentence, fields and operations written as the caller wants them.
    pub fn written(
        &self,
        field: impl Fn(Field, Option<&str>) -> String,
        step: impl Fn(&Suggestion) -> String,
    ) -> String {
        let parts = self.0.iter().map(|part| match part {
            AdvicePart::Words(words) => words.clone(),
            AdvicePart::Field(name, value) => field(*name, value.as_deref()),
            AdvicePart::Step(suggestion) => step(suggestion),
            AdvicePart::Remedy(remedy) => {
                remedy.written(|names, from| field(Field::SewnTo, Some(&format!("{names} from {from}"))))
            }
        });
        parts.collect()
    }

    /// The same advice with its remedies in the words of one format.
    #[must_use]
    pub fn with_remedies(&self, words: impl Fn(&Remedy) -> String) -> Advice {
        let said = |part: &AdvicePart| match part {
            AdvicePart::Remedy(remedy) => AdvicePart::Words(words(remedy)),
            other => other.clone(),
        };
        Advice(self.0.iter().map(said).collect())
    }
}

/// A sentence of advice of words, fields and operations one after another.
#[macro_export]
macro_rules! advice {
    ($($part:expr),+ $(,)?) => {
        $crate::pattern::Advice::of([$($crate::pattern::AdvicePart::from($part)),+])
    };
}

impl From<&str> for AdvicePart {
    fn from(words: &str) -> AdvicePart {
        AdvicePart::Words(words.to_owned())
    }
}

impl From<String> for AdvicePart {
    fn from(words: String) -> AdvicePart {
        AdvicePart::Words(words)
    }
}

impl From<Field> for AdvicePart {
    fn from(field: Field) -> AdvicePart {
        AdvicePart::Field(field, None)
    }
}

impl From<Operation> for AdvicePart {
    fn from(operation: Operation) -> AdvicePart {
        AdvicePart::Step(Suggestion { operation, fields: Vec::new() })
    }
}

impl From<Suggestion> for AdvicePart {
    fn from(suggestion: Suggestion) -> AdvicePart {
        AdvicePart::Step(suggestion)
    }
}

impl From<Remedy> for Advice {
    fn from(remedy: Remedy) -> Advice {
        Advice::of([AdvicePart::Remedy(remedy)])
    }
}

impl From<&str> for Advice {
    fn from(words: &str) -> Advice {
        Advice::of([words.into()])
    }
}

impl From<&String> for Advice {
    fn from(words: &String) -> Advice {
        Advice::of([words.as_str().into()])
    }
}

impl From<String> for Advice {
    fn from(words: String) -> Advice {
        Advice::of([words.into()])
    }
}

/// As in a recipe, whose words the library knows: `shaping = "dart"`, `do = "unfold", piece = "front"`.
impl fmt::Display for Advice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.written(field_as_data, step_as_data))
    }
}

fn field_as_data(field: Field, value: Option<&str>) -> String {
    value.map_or_else(|| format!("`{}`", field.name()), |value| format!("{} = {value:?}", field.name()))
}

fn step_as_data(step: &Suggestion) -> String {
    if step.fields.is_empty() {
        return format!("`{}`", step.operation.name());
    }
    let fields = step.fields.iter().map(|(field, value)| format!(", {} = {value:?}", field.name()));
    format!("do = {:?}{}", step.operation.name(), fields.collect::<String>())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_and_operations_are_written_as_data() {
        let advice =
            advice!("open it: ", Operation::Unfold.with(Field::Piece, "front"), ", or give ", Field::By);
        assert_eq!(advice.to_string(), "open it: do = \"unfold\", piece = \"front\", or give `by`");
        assert_eq!(advice!(Field::Shaping.set("dart")).to_string(), "shaping = \"dart\"");
    }
}
