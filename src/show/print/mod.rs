//! Pages at true size.
