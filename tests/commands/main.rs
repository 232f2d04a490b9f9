//! Whole commands, run as a user runs them.

#[path = "../common/documents.rs"]
mod documents;
#[path = "../common/run.rs"]
mod run;
#[path = "../common/spoiled.rs"]
mod spoiled;
#[path = "../common/written_widths.rs"]
mod written_widths;

mod batch;
mod columns;
#[path = "documents.rs"]
mod documents_run;
mod each_command;
mod edges;
mod examples;
mod faults;
mod gate;
mod guards;
mod newcomers;
mod next;
mod picture;
mod pictures;
mod recut_reports;
mod refusals;
mod start_to_end;
mod untrue;
mod writing;
