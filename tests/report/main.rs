//! The report: what it tells, the order of sewing, and that anyone can read it anywhere.

#[path = "../truing/build.rs"]
#[allow(dead_code, reason = "a part of it draws what is sewn here")]
mod build;
#[path = "../common/run.rs"]
mod run;

mod command;
mod hostile;
mod order;
mod page;
mod readable;
