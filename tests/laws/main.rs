//! The laws of the operations, each over random pieces and parameters.

#[path = "../common/mod.rs"]
mod common;
#[path = "../common/counted.rs"]
mod counted;
#[path = "../common/law_3.rs"]
mod law_3;
#[path = "../common/panels.rs"]
mod panels;
#[path = "../common/random/mod.rs"]
mod random;
#[path = "../common/random_bodice.rs"]
mod random_bodice;
#[path = "../common/random_chain.rs"]
#[allow(dead_code, reason = "other tests use the rest")]
mod random_chain;
#[path = "../common/seam_laws.rs"]
#[allow(dead_code, reason = "other tests use the rest")]
mod seam_laws;
#[path = "../common/stations.rs"]
#[allow(dead_code, reason = "other tests use the rest")]
mod stations;

mod bodices;
mod borders;
mod chains;
mod dart_to_seam;
mod darts;
mod edges;
mod facings_follow;
mod facings_made;
mod folds;
mod following;
mod linings;
mod linings_follow;
mod made;
mod merging;
mod openings;
mod own_facts;
mod pieces;
mod princess;
mod seams;
mod strips;
mod whole;
