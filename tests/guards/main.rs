//! What a command must not do, whatever it is given: write over what it reads, show signs that are not seen, choke on
//! what no person draws.

#[path = "../common/run.rs"]
mod run;

mod limits;
mod outputs;
mod unseen;
