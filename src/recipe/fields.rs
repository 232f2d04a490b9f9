//! The fields of a recipe's step as serde sees them: names and texts, with what went wrong told as data.

use std::cell::Cell;
use std::fmt::{self, Display};
use std::ops::Range;

use serde::de::value::StrDeserializer;
use serde::de::{DeserializeSeed, Deserializer, Error, IntoDeserializer, MapAccess, Visitor};
use serde::forward_to_deserialize_any;

/// A field as it is written.
#[derive(Clone, Debug)]
pub struct WrittenField<'a> {
    /// Its name.
    pub name: &'a str,
    /// Where the name stands.
    pub name_span: Range<usize>,
    /// Its value, as it would stand on a command line.
    pub value: String,
    /// Where the value stands.
    pub value_span: Range<usize>,
}

/// What is wrong with the fields of a step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FieldFault {
    /// One that must be there is not.
    Missing(&'static str),
    /// One is not known.
    UnknownField {
        /// Those that are.
        known: &'static [&'static str],
    },
    /// A word is none of those that may stand there.
    UnknownWord {
        /// Those that may.
        known: &'static [&'static str],
    },
    /// Anything else, in a sentence.
    Other(String),
}

impl Display for FieldFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            FieldFault::Missing(field) => write!(f, "no `{field}`"),
            FieldFault::UnknownField { known } | FieldFault::UnknownWord { known } => {
                write!(f, "not one of {}", known.join(", "))
            }
            FieldFault::Other(sentence) => f.write_str(sentence),
        }
    }
}

impl std::error::Error for FieldFault {}

impl Error for FieldFault {
    fn custom<T: Display>(sentence: T) -> FieldFault {
        FieldFault::Other(sentence.to_string())
    }

    fn missing_field(field: &'static str) -> FieldFault {
        FieldFault::Missing(field)
    }

    fn unknown_field(_: &str, known: &'static [&'static str]) -> FieldFault {
        FieldFault::UnknownField { known }
    }

    fn unknown_variant(_: &str, known: &'static [&'static str]) -> FieldFault {
        FieldFault::UnknownWord { known }
    }
}

/// The fields of a step, to be read from. It remembers which was read last, which is the one at fault where reading
/// fails.
#[derive(Debug)]
pub struct WrittenFields<'a> {
    fields: &'a [WrittenField<'a>],
    read: Cell<usize>,
}

impl<'a> WrittenFields<'a> {
    /// Fields, none of them read so far.
    pub fn new(fields: &'a [WrittenField<'a>]) -> WrittenFields<'a> {
        WrittenFields { fields, read: Cell::new(0) }
    }

    /// The field that was read last.
    pub fn read_last(&self) -> Option<&'a WrittenField<'a>> {
        self.fields.get(self.read.get().checked_sub(1)?)
    }
}

impl<'de> Deserializer<'de> for &WrittenFields<'_> {
    type Error = FieldFault;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, FieldFault> {
        visitor.visit_map(self)
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 u8 u16 u32 u64 f32 f64 char str string bytes byte_buf option unit unit_struct
        newtype_struct seq tuple tuple_struct map struct enum identifier ignored_any
    }
}

impl<'de> MapAccess<'de> for &WrittenFields<'_> {
    type Error = FieldFault;

    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, FieldFault> {
        let Some(field) = self.fields.get(self.read.get()) else { return Ok(None) };
        self.read.set(self.read.get() + 1);
        seed.deserialize(field.name.into_deserializer()).map(Some)
    }

    fn next_value_seed<V: DeserializeSeed<'de>>(&mut self, seed: V) -> Result<V::Value, FieldFault> {
        seed.deserialize(WrittenValue(self.read_last().map_or("", |field| &field.value)))
    }
}

/// The value of a field.
struct WrittenValue<'a>(&'a str);

impl<'a> WrittenValue<'a> {
    fn text(&self) -> StrDeserializer<'a, FieldFault> {
        self.0.into_deserializer()
    }
}

impl<'de> Deserializer<'de> for WrittenValue<'_> {
    type Error = FieldFault;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, FieldFault> {
        visitor.visit_str(self.0)
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, FieldFault> {
        visitor.visit_some(self)
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, FieldFault> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        name: &'static str,
        words: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, FieldFault> {
        self.text().deserialize_enum(name, words, visitor)
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 u8 u16 u32 u64 f32 f64 char str string bytes byte_buf unit unit_struct seq tuple
        tuple_struct map struct identifier ignored_any
    }
}
