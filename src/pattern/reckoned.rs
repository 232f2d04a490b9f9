//! What was reckoned from a pattern as it stands, kept for whoever asks again: what a step asks when it is done the next one asks
//! before it begins, and the checks once more.
//!
//! Copies of a pattern share what is kept, since they hold the same; whoever changes a pattern forgets what was reckoned from it as
//! it stood. What was reckoned from lines alone, that are the question to the last bit, is true of whatever pattern has them.

use std::any::{Any, TypeId};
use std::fmt;
use std::hash::Hash;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use rustc_hash::FxHashMap;

/// Results of one sort, by what was asked.
type Answers<K, V> = FxHashMap<K, Arc<OnceLock<V>>>;

/// What is kept of all sorts, by the types of question and answer.
type KeptAnswers = FxHashMap<TypeId, Box<dyn Any + Send>>;

/// How many answers of a sort are kept of lines; beyond, all of the sort are forgotten. A coat with its linings asks some dozens
/// in each state.
const MOST_OF_LINES: usize = 512;

/// Answers of all sorts, shared by those that may use them.
#[derive(Clone, Default)]
struct Store(Arc<Mutex<KeptAnswers>>);

/// What was reckoned from a pattern.
#[derive(Clone, Default)]
pub(super) struct Reckoned {
    as_it_stands: Store,
    of_lines: Store,
}

impl Store {
    fn answer<K, V>(&self, question: K, most: usize, reckon: impl FnOnce() -> V) -> V
    where
        K: Eq + Hash + Send + 'static,
        V: Clone + Send + Sync + 'static,
    {
        // Not under the lock: others ask other things meanwhile.
        self.place(question, most).get_or_init(reckon).clone()
    }

    fn place<K, V>(&self, question: K, most: usize) -> Arc<OnceLock<V>>
    where
        K: Eq + Hash + Send + 'static,
        V: Send + Sync + 'static,
    {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let answers =
            kept.entry(TypeId::of::<(K, V)>()).or_insert_with(|| Box::new(Answers::<K, V>::default()));
        // It stands under its own type.
        let Some(answers) = answers.downcast_mut::<Answers<K, V>>() else { return Arc::default() };
        if answers.len() >= most && !answers.contains_key(&question) {
            answers.clear();
        }
        answers.entry(question).or_default().clone()
    }
}

impl Reckoned {
    /// The answer to a question about the pattern as it stands, reckoned where nobody has asked yet.
    pub(super) fn as_it_stands<K, V>(&self, question: K, reckon: impl FnOnce() -> V) -> V
    where
        K: Eq + Hash + Send + 'static,
        V: Clone + Send + Sync + 'static,
    {
        self.as_it_stands.answer(question, usize::MAX, reckon)
    }

    /// The answer to a question that holds all that it is reckoned from.
    pub(super) fn of_lines<K, V>(&self, question: K, reckon: impl FnOnce() -> V) -> V
    where
        K: Eq + Hash + Send + 'static,
        V: Clone + Send + Sync + 'static,
    {
        self.of_lines.answer(question, MOST_OF_LINES, reckon)
    }

    /// The pattern changes: forgets what was reckoned from it as it stands. Copies that hold what it held keep it.
    pub(super) fn forget(&mut self) {
        self.as_it_stands = Store::default();
    }
}

impl fmt::Debug for Reckoned {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Reckoned")
    }
}

/// It is nothing that a pattern holds besides what it was reckoned from.
impl PartialEq for Reckoned {
    fn eq(&self, _: &Reckoned) -> bool {
        true
    }
}
