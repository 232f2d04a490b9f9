//! The one definition of the operations that command line, recipe, record and library share.
//!
//! An operation is a struct of its fields and a function; its file bears its name. Adding one is a new file
//! and a line in [`crate::for_each_operation`].

use serde::Deserialize;

use crate::pattern::{Pattern, Refusal};
use crate::recut::{Recut, Work};

macro_rules! define_steps {
    ($($module:ident $operation:ident $name:literal,)+) => {
        /// One operation with its fields.
        #[derive(Clone, Debug, PartialEq)]
        pub enum Step {
            $(
                #[doc = concat!("`", $name, "`")]
                $operation(super::$module::$operation),
            )+
        }

        $(
            impl From<super::$module::$operation> for Step {
                fn from(fields: super::$module::$operation) -> Step {
                    Step::$operation(fields)
                }
            }
        )+

        impl Step {
            /// The names of all operations, as they stand in commands and recipes.
            pub const NAMES: &[&str] = &[$($name),+];

            /// The operation's name.
            #[must_use]
            pub fn name(&self) -> &'static str {
                match self { $(Step::$operation(_) => $name,)+ }
            }

            /// Reads the fields of the operation of a name from any serde format.
            ///
            /// # Errors
            ///
            /// What the format says of an unknown field or a wrong value; an unknown operation.
            pub fn read<'de, D: serde::Deserializer<'de>>(name: &str, fields: D) -> Result<Step, D::Error> {
                match name {
                    $($name => super::$module::$operation::deserialize(fields).map(Step::$operation),)+
                    other => Err(serde::de::Error::unknown_variant(other, Step::NAMES)),
                }
            }

            fn fields(&self) -> Result<serde_json::Value, serde_json::Error> {
                match self { $(Step::$operation(fields) => serde_json::to_value(fields),)+ }
            }

            fn run(&self, work: &mut Work) -> Result<(), Refusal> {
                match self { $(Step::$operation(fields) => super::$module::$module(fields, work),)+ }
            }
        }
    };
}

crate::for_each_operation!(define_steps);

impl Step {
    /// Does the step.
    ///
    /// # Errors
    ///
    /// Refuses what cannot be done, and then changes nothing.
    pub fn apply(&self, pattern: &Pattern) -> Result<Recut, Refusal> {
        let mut work = Work::begin(pattern);
        self.run(&mut work)?;
        work.finish(pattern, self)
    }

    /// The step that would set all that this one can set to what it is now; none where it does anything else, or what it is of
    /// is not there.
    #[must_use]
    pub fn as_it_is(&self, pattern: &Pattern) -> Option<Step> {
        match self {
            Step::SetPiece(step) => step.as_it_is(pattern).map(Step::from),
            Step::SetEdge(step) => step.as_it_is(pattern).map(Step::from),
            Step::SetPattern(_) => Some(super::SetPattern::as_it_is(pattern).into()),
            _ => None,
        }
    }

    /// The step that stands as data in a record.
    ///
    /// # Errors
    ///
    /// It names no operation, an unknown field, or a wrong value.
    pub fn from_value(value: &serde_json::Value) -> Result<Step, serde_json::Error> {
        let mut fields = value.as_object().cloned().unwrap_or_default();
        let name = fields.remove("do");
        let name = name.as_ref().and_then(serde_json::Value::as_str).unwrap_or_default();
        Step::read(name, serde_json::Value::Object(fields))
    }

    /// The step as data: its fields and, under `do`, its name.
    #[must_use]
    pub fn to_value(&self) -> serde_json::Value {
        let mut fields = self.fields().unwrap_or_default();
        if let Some(fields) = fields.as_object_mut() {
            fields.insert("do".to_owned(), self.name().into());
        }
        fields
    }
}

impl serde::Serialize for Step {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.to_value().serialize(serializer)
    }
}
