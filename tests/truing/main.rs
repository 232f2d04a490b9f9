//! Walking seams, girths, the ledger and the checks: against published numbers, against other libraries, and laws over
//! random pieces.

mod draw;
mod findings;
mod fixtures;
mod girths;
mod laws;
mod oracles;
mod seams;
