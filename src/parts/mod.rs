//! Pieces made of parts of others: each part carried rigidly, its outline put together of stretches of old edges and new
//! lines, and what stands on it taken along; seams that name an edge then name where its cloth lies. Two pieces are laid
//! together along a seam here. May use `pattern`, `curve`, `units` and `tolerance`; it changes no pattern.

pub(crate) mod assemble;
pub(crate) mod carry;
pub(crate) mod gap;
pub(crate) mod in_the_way;
pub(crate) mod join;
pub(crate) mod lay_on;
pub(crate) mod membership;
pub(crate) mod merge;
pub(crate) mod reshape;
pub(crate) mod seam_side;
pub(crate) mod seams_after;
pub(crate) mod ties;
