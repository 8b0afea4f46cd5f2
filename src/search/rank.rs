//! Ranks classes and causes: for each term how much oftener a class uses it than all classes together,
//! likeness to each class's phrases, the moment, the fault named, standard codes.
//!
//! The sum is a logarithm of odds, as in a naive Bayes classifier over the phrases of the classes.

use std::collections::BTreeSet;

use super::index::{Document, Part, rarity};
use super::notes::Notes;
use super::postings::Postings;
use super::query::Query;
use super::terms::{Term, Via};
use super::weights::Weights;

/// From this likeness on a query is nearly one of the phrases.
pub const NEARLY_EXACT: f32 = 0.9;
/// Causes, questions and checks that are less like the query are of no use.
pub const LEAST_LIKENESS: f32 = 0.3;
/// A cause's mechanism counts this much beside its name when causes are looked for.
const WHAT_BESIDE_NAME: f32 = 0.5;

/// The usual constants of BM25: how soon a term that is said again adds nothing, and how much a long
/// text is made allowance for.
const SATURATION: f32 = 1.2;
const LONG: f32 = 0.75;

/// Stems that stand in every description: the drive itself, numbers, places and times. Which class's
/// phrases happen to hold them says little.
const PALE: &[&str] = &[
    "again", "all", "back", "big", "both", "day", "down", "drive", "end", "invert", "left", "morn",
    "new", "off", "onc", "one", "other", "out", "over", "put", "right", "same", "set", "still",
    "time", "two", "up", "vfd", "vsd", "way", "week",
];

/// A class with its evidence.
#[derive(Clone, Debug, Default)]
pub struct ClassScore {
    /// Its number.
    pub class: usize,
    /// Sum of all evidence, as a logarithm of odds.
    pub evidence: f32,
    /// Likeness to its best phrase, 0 to 1.
    pub likeness: f32,
    /// How much it says of the terms, whatever other classes say: BM25 (Robertson and Zaragoza 2009).
    saturated: f32,
    /// Likeness to all its phrases together: the sum of the squares.
    alike: f32,
    /// That phrase's number, if it is a phrase and not the title.
    pub phrase: Option<u8>,
    /// Terms with their part in the evidence.
    pub terms: Vec<(usize, f32)>,
}

/// A cause, question or check with its likeness.
#[derive(Clone, Debug, Default)]
pub struct ItemScore {
    /// Its number among its kind.
    pub number: usize,
    /// Likeness to its texts.
    pub likeness: f32,
    /// The terms that stand in its name.
    pub terms: Vec<usize>,
}

/// What the query is like.
#[derive(Clone, Debug, Default)]
pub struct Ranking {
    /// Classes, best first.
    pub classes: Vec<ClassScore>,
    /// How much likelier the words are where people talk about other things, as a logarithm of odds.
    pub elsewhere: f32,
    /// Causes that are like it, best first.
    pub causes: Vec<ItemScore>,
    /// Questions that are like it, best first.
    pub questions: Vec<ItemScore>,
    /// Checks that are like it, best first.
    pub checks: Vec<ItemScore>,
}

/// Ranks the classes and causes for a query; with the postings comes the list of their documents.
pub fn rank(
    query: &Query,
    (postings, documents): (&Postings, &[u8]),
    notes: &Notes,
    weights: &Weights,
) -> Ranking {
    let mut sums = Sums::new(query, notes, documents, weights);
    let mut terms: Vec<(usize, &Term)> = query.analysis.terms.iter().enumerate().collect();
    terms.sort_by_key(|(_, term)| term.span);
    let understood = said_otherwise(query);
    let mut group_end = 0;
    for (number, term) in terms {
        if term.span.0 >= group_end {
            sums.close_group();
        }
        group_end = group_end.max(term.span.1);
        let holding = postings.holding(&term.text);
        let counts = !holding.is_empty() || !understood.contains(&term.span);
        sums.add(number, term, &holding, counts);
    }
    sums.close_group();
    sums.finish()
}

/// The words that belong to a group whose meaning is known, and those that say little: where no text
/// holds such a word itself, nothing is missing from the likeness. Else a description in another language
/// would be like nothing at all.
fn said_otherwise(query: &Query) -> BTreeSet<(usize, usize)> {
    let terms = || query.analysis.terms.iter();
    let groups =
        terms().filter(|term| matches!(term.via, Via::Meaning(_) | Via::Name(_) | Via::Moment(_)));
    let words = groups.flat_map(|group| (group.span.0..group.span.1).map(|word| (word, word + 1)));
    let fillers = terms()
        .filter(|term| term.via == Via::Filler)
        .map(|term| term.span);
    words.chain(fillers).collect()
}

/// The sums over the terms.
struct Sums<'a> {
    query: &'a Query,
    notes: &'a Notes<'a>,
    documents: &'a [[u8; Document::BYTES]],
    /// How many documents are about other things.
    others: f32,
    weights: &'a Weights,
    classes: Vec<ClassScore>,
    elsewhere: f32,
    /// For each class the evidence of the group of words that is being read.
    group: Vec<f32>,
    group_elsewhere: f32,
    /// Size of each class in phrases, and of all together.
    sizes: Vec<f32>,
    all_sizes: f32,
    causes: Vec<ItemScore>,
    questions: Vec<ItemScore>,
    checks: Vec<ItemScore>,
    /// For each document the product of its term vector with the query's.
    products: Vec<f32>,
    query_length: f32,
}

impl<'a> Sums<'a> {
    fn new(query: &'a Query, notes: &'a Notes, documents: &'a [u8], weights: &'a Weights) -> Self {
        let (documents, _) = documents.as_chunks();
        let (documents, others) = documents.split_at(Document::of_the_trade(documents));
        let class = |class| ClassScore {
            class,
            terms: Vec::with_capacity(query.analysis.terms.len()),
            ..ClassScore::default()
        };
        let items = |count: usize| -> Vec<ItemScore> {
            let item = |number| ItemScore {
                number,
                ..ItemScore::default()
            };
            (0..count).map(item).collect()
        };
        let size = |phrases: u16| f32::from(phrases) + weights.title + weights.meaning_text;
        let classes = notes.classes.iter();
        let sizes: Vec<f32> = classes.map(|note| size(note.phrases)).collect();
        Sums {
            query,
            notes,
            documents,
            others: others.len() as f32,
            weights,
            classes: (0..notes.classes.len()).map(class).collect(),
            elsewhere: 0.0,
            group: vec![0.0; notes.classes.len()],
            group_elsewhere: 0.0,
            all_sizes: sizes.iter().sum(),
            sizes,
            causes: items(notes.causes.len()),
            questions: items(notes.questions.len()),
            checks: items(notes.checks.len()),
            products: vec![0.0; documents.len()],
            query_length: 0.0,
        }
    }

    /// Adds the evidence of one term that these documents hold, and whether it counts in the length of
    /// the query.
    fn add(&mut self, number: usize, term: &Term, holding: &[u16], counts: bool) {
        let weight = self.weight(term);
        let trade = holding.partition_point(|place| usize::from(*place) < self.documents.len());
        let (holding, elsewhere) = holding.split_at(trade);
        let rare = rarity(holding.len(), self.documents.len());
        if counts {
            self.query_length += rare * rare;
        }
        let counts = self.count(number, holding, rare);
        let share = counts.iter().sum::<f32>() / self.all_sizes;
        let background = match term.via {
            Via::Name(_) => self.weights.background_name,
            Via::Meaning(_) | Via::Moment(_) => self.weights.background_meaning,
            _ => self.weights.background,
        };
        let elsewhere = elsewhere.len() as f32 + background;
        self.group_elsewhere += weight * (elsewhere / (share * self.others + background)).ln();
        if share <= 0.0 {
            return;
        }
        let using = counts.iter().filter(|count| **count > 0.0).count();
        let telling = weight * rarity(using, counts.len());
        let mean_size = self.all_sizes / counts.len() as f32;
        let classes = self.classes.iter_mut().zip(&mut self.group);
        for ((class, group), (count, size)) in classes.zip(counts.iter().zip(&self.sizes)) {
            let mut evidence = weight * ((count + background) / (share * size + background)).ln();
            if evidence < 0.0 {
                evidence *= self.weights.against;
            }
            *group += evidence;
            let long = 1.0 - LONG + LONG * size / mean_size;
            class.saturated += telling * (SATURATION + 1.0) * count / (count + SATURATION * long);
            class.terms.push((number, evidence));
        }
    }

    /// Ends a group of words. Its terms say the same thing several times, so their sum counts in full
    /// only while it is small.
    fn close_group(&mut self) {
        let ceiling = self.weights.group;
        let close = |group: &mut f32| {
            let sum = std::mem::take(group);
            sum / (1.0 + (sum / ceiling).powi(2)).sqrt()
        };
        for (class, group) in self.classes.iter_mut().zip(&mut self.group) {
            class.evidence += close(group);
        }
        self.elsewhere += close(&mut self.group_elsewhere);
    }

    /// How many phrases of each class hold the term; other texts count as some phrases.
    fn count(&mut self, number: usize, holding: &[u16], rare: f32) -> Vec<f32> {
        let mut counts = vec![0.0; self.classes.len()];
        for document in holding {
            let place = usize::from(*document);
            let Some(of) = self.documents.get(place).and_then(Document::read) else {
                continue;
            };
            let owner = usize::from(of.owner);
            self.products[place] += rare * rare;
            let worth = match of.part {
                Part::Phrase => 1.0,
                Part::Title => self.weights.title,
                Part::Meaning => self.weights.meaning_text,
                Part::CauseName => self.weights.cause_name,
                Part::CauseWhat => self.weights.cause_what,
                Part::Question | Part::Check | Part::Elsewhere => 0.0,
            };
            match of.part {
                Part::Phrase | Part::Title | Part::Meaning => add(&mut counts, owner, worth),
                Part::CauseName | Part::CauseWhat => {
                    for (class, how_often) in self.notes.owners(owner) {
                        add(&mut counts, class, worth * how_often);
                    }
                }
                Part::Question | Part::Check | Part::Elsewhere => {}
            }
            let items = match of.part {
                Part::CauseName => &mut self.causes,
                Part::Question => &mut self.questions,
                Part::Check => &mut self.checks,
                _ => continue,
            };
            if let Some(item) = items.get_mut(owner) {
                item.terms.push(number);
            }
        }
        counts
    }

    fn weight(&self, term: &Term) -> f32 {
        let base = match term.via {
            Via::Word => self.weights.word,
            Via::Meaning(_) => self.weights.meaning,
            Via::Name(_) => self.weights.name_term,
            Via::Unit => self.weights.unit,
            Via::Part => self.weights.part,
            Via::Moment(_) => self.weights.moment_term,
            Via::Negated => self.weights.negated,
            Via::Filler => self.weights.filler,
        };
        let mut weight = base;
        if self.query.corrected_span(term.span) {
            weight *= self.weights.corrected;
        }
        if PALE.contains(&term.text.as_str()) {
            weight *= self.weights.pale;
        }
        weight
    }

    /// Adds the evidence besides the terms and sorts.
    fn finish(mut self) -> Ranking {
        self.liken();
        for score in &mut self.classes {
            let exact = (score.likeness - NEARLY_EXACT).max(0.0) / (1.0 - NEARLY_EXACT);
            score.evidence += self.weights.likeness * score.likeness + self.weights.exact * exact;
            score.evidence += self.weights.alike * (score.alike / self.weights.few_alike).ln_1p();
            score.evidence += self.weights.saturated * score.saturated;
            score.evidence += besides(self.query, self.notes, score.class, self.weights);
        }
        self.classes
            .sort_by(|one, other| other.evidence.total_cmp(&one.evidence));
        for items in [&mut self.causes, &mut self.questions, &mut self.checks] {
            items.retain(|item| item.likeness >= LEAST_LIKENESS);
            items.sort_by(|one, other| other.likeness.total_cmp(&one.likeness));
        }
        Ranking {
            classes: self.classes,
            elsewhere: self.elsewhere,
            causes: self.causes,
            questions: self.questions,
            checks: self.checks,
        }
    }

    /// The likeness of each class's best phrase or title, and of each cause: the cosine of the vectors.
    fn liken(&mut self) {
        let query_length = self.query_length.sqrt().max(f32::MIN_POSITIVE);
        for (bytes, product) in self.documents.iter().zip(&self.products) {
            if *product <= 0.0 {
                continue;
            }
            let Some(of) = Document::read(bytes) else {
                continue;
            };
            let alike = product / (of.length.max(f32::MIN_POSITIVE) * query_length);
            let owner = usize::from(of.owner);
            match of.part {
                Part::Phrase | Part::Title => {
                    if let Some(class) = self.classes.get_mut(owner) {
                        class.alike += alike * alike;
                        if alike > class.likeness {
                            class.likeness = alike;
                            class.phrase = (of.part == Part::Phrase).then_some(of.nth);
                        }
                    }
                }
                Part::CauseName | Part::CauseWhat => {
                    if let Some(cause) = self.causes.get_mut(owner) {
                        let worth = if of.part == Part::CauseName {
                            1.0
                        } else {
                            WHAT_BESIDE_NAME
                        };
                        cause.likeness += worth * alike;
                    }
                }
                Part::Question | Part::Check => {
                    let items = if of.part == Part::Check {
                        &mut self.checks
                    } else {
                        &mut self.questions
                    };
                    if let Some(item) = items.get_mut(owner) {
                        item.likeness += alike;
                    }
                }
                Part::Meaning | Part::Elsewhere => {}
            }
        }
    }
}

fn add(counts: &mut [f32], place: usize, worth: f32) {
    if let Some(count) = counts.get_mut(place) {
        *count += worth;
    }
}

/// Evidence besides the terms: the moment, the fault named, codes.
fn besides(query: &Query, notes: &Notes, class: usize, weights: &Weights) -> f32 {
    let Some(note) = notes.classes.get(class) else {
        return 0.0;
    };
    let mut evidence = 0.0;
    let share = |moment: &str| {
        note.moments()
            .find(|(finding, _)| *finding == moment)
            .map_or(0.0, |(_, share)| share)
    };
    if note.moments().next().is_some() {
        let named = query.analysis.moments.iter().map(|moment| share(moment));
        if let Some(best) = named.reduce(f32::max) {
            // Against an even spread over the five moments, softened by half of it.
            evidence += weights.moment * ((best + 0.1) / 0.3).ln();
        }
    }
    for moment in &query.analysis.not_moments {
        evidence += weights.moment * ((1.1 - share(moment)) / 0.9).ln();
    }
    for name in &query.analysis.names {
        if name
            .classes
            .iter()
            .any(|number| usize::from(*number) == class)
        {
            let weight = match name.short_for {
                Some(_) => weights.short_name,
                None => weights.name,
            };
            evidence += weight / (name.classes.len() as f32).sqrt();
        }
    }
    if query
        .codes
        .iter()
        .any(|(code, _)| note.codes().any(|own| own == code))
    {
        evidence += weights.code;
    }
    evidence
}
