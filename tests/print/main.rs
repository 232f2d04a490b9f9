//! The printed pages: sizes by the standards, true scale, nothing lost between pages, sound and searchable PDF.
//!
//! What is measured in pixels needs poppler's programs, and is told to be left out where they are missing; with `RETRUE_TOOLS=required` it fails.

#[path = "../common/programs.rs"]
mod programs;
#[path = "../common/run.rs"]
mod run;
#[path = "../common/spoiled.rs"]
mod spoiled;

mod command;
mod file;
mod laid;
mod on_cloth;
mod pages;
mod paper;
mod pixels;
mod prints;
mod reader;
mod scale;
