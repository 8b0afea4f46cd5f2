//! From YAML files to checked knowledge. All problems of all files are collected in one run.

use serde::de::DeserializeOwned;

use super::problem::{Problem, locate, nearest};
use super::raw::{
    RawCause, RawCaution, RawClass, RawClassCauses, RawCoding, RawQuestion, RawReference, RawWords,
};
use super::standard::{ErrorCode, StateHelp};
use super::types::{
    Abbreviation, Access, Cause, Caution, ClassCause, Coding, Confirm, FaultClass, Finding,
    HowOften, LookAlike, Measure, Question, Reference, Sign, Synonym, Translation, Words,
};
use super::validate::{self, Advice, CheckCatalogue};

/// One YAML file: its name relative to the knowledge folder, and its text.
#[derive(Clone, Debug)]
pub struct SourceFile {
    /// Such as `classes/ground-fault.yaml`.
    pub name: String,
    /// Its text.
    pub text: String,
}

/// An item with the place where it stands, for messages.
#[derive(Clone, Debug)]
pub struct Placed<T> {
    /// The item.
    pub item: T,
    /// Index into the files.
    pub file: usize,
    /// Line of its id, from 1.
    pub line: usize,
}

/// Everything that was loaded, with its places.
#[derive(Clone, Debug, Default)]
pub struct Loaded {
    /// Fault classes.
    pub classes: Vec<Placed<FaultClass>>,
    /// Causes.
    pub causes: Vec<Placed<Cause>>,
    /// Questions.
    pub questions: Vec<Placed<Question>>,
    /// Cautions.
    pub cautions: Vec<Placed<Caution>>,
    /// Sources.
    pub references: Vec<Placed<Reference>>,
    /// Error codes of the open profiles.
    pub error_codes: Vec<Placed<ErrorCode>>,
    /// What a drive in each state of its profile waits for.
    pub states: Vec<Placed<StateHelp>>,
    /// Word lists.
    pub words: Words,
    /// What is not wrong but could be better.
    pub advice: Vec<Advice>,
}

impl Loaded {
    /// What stands here in place of something in `base`: `class ground-fault`.
    pub fn overrides(&self, base: &Loaded) -> Vec<String> {
        fn both<T>(
            sort: &str,
            own: &[Placed<T>],
            base: &[Placed<T>],
            id: impl Fn(&T) -> &String,
        ) -> Vec<String> {
            own.iter()
                .map(|placed| id(&placed.item))
                .filter(|own| base.iter().any(|placed| id(&placed.item) == *own))
                .map(|id| format!("{sort} {id}"))
                .collect()
        }
        let mut all = both("class", &self.classes, &base.classes, |item| &item.id);
        all.extend(both("cause", &self.causes, &base.causes, |item| &item.id));
        all.extend(both("question", &self.questions, &base.questions, |item| {
            &item.id
        }));
        all.extend(both("caution", &self.cautions, &base.cautions, |item| {
            &item.id
        }));
        all.extend(both("source", &self.references, &base.references, |item| {
            &item.id
        }));
        all.extend(both(
            "error code",
            &self.error_codes,
            &base.error_codes,
            |item| &item.code,
        ));
        all.extend(both("state", &self.states, &base.states, |item| &item.id));
        all
    }
}

/// Loads and checks a set of files. `base` is what the files may refer to and override: the
/// built-in knowledge for an overlay, nothing for the built-in knowledge itself.
///
/// # Errors
/// Every problem found, in the order of files and lines.
pub fn load(
    files: &[SourceFile],
    base: Option<&Loaded>,
    checks: &dyn CheckCatalogue,
) -> Result<Loaded, Vec<Problem>> {
    let mut loaded = Loaded::default();
    let mut problems = Vec::new();
    for (index, file) in files.iter().enumerate() {
        if let Err(problem) = read_file(file, index, &mut loaded) {
            problems.push(problem);
        }
    }
    if problems.is_empty() {
        loaded.advice = validate::validate(files, &loaded, base, checks, &mut problems);
    }
    if problems.is_empty() {
        return Ok(loaded);
    }
    problems.sort();
    problems.dedup();
    Err(problems)
}

/// Reads one file into the item lists by the folder it lies in.
fn read_file(file: &SourceFile, index: usize, loaded: &mut Loaded) -> Result<(), Problem> {
    let folder = file.name.split('/').next().unwrap_or("");
    // Items follow each other: each is looked for behind the one before, so that the second of two
    // equal ids is found where it stands.
    let mut from = 1;
    let mut place = |id: &str| {
        let own = locate(&file.text, from, &format!("id: {id}"));
        let line = own
            .or_else(|| locate(&file.text, from, id))
            .map_or(from, |(line, _)| line);
        from = line + 1;
        line
    };
    match folder {
        "classes" => {
            let raw: RawClass = parse(file)?;
            let id = file
                .name
                .trim_start_matches("classes/")
                .trim_end_matches(".yaml");
            loaded.classes.push(Placed {
                item: class(id, raw),
                file: index,
                line: 1,
            });
        }
        "causes" => {
            for raw in parse::<Vec<RawCause>>(file)? {
                let line = place(&raw.id);
                loaded.causes.push(Placed {
                    item: cause(raw),
                    file: index,
                    line,
                });
            }
        }
        "questions" => {
            for raw in parse::<Vec<RawQuestion>>(file)? {
                let line = place(&raw.id);
                check_base_rates(file, line, &raw)?;
                loaded.questions.push(Placed {
                    item: question(raw),
                    file: index,
                    line,
                });
            }
        }
        "standards" if file.name.ends_with("/error-codes.yaml") => {
            for item in parse::<Vec<ErrorCode>>(file)? {
                let line = place(&format!("code: \"{}\"", item.code));
                loaded.error_codes.push(Placed {
                    item,
                    file: index,
                    line,
                });
            }
        }
        "standards" if file.name.ends_with("/states.yaml") => {
            for item in parse::<Vec<StateHelp>>(file)? {
                let line = place(&item.id);
                loaded.states.push(Placed {
                    item,
                    file: index,
                    line,
                });
            }
        }
        "cautions.yaml" => {
            for raw in parse::<Vec<RawCaution>>(file)? {
                let line = place(&raw.id);
                loaded.cautions.push(Placed {
                    item: caution(raw),
                    file: index,
                    line,
                });
            }
        }
        "sources.yaml" => {
            for raw in parse::<Vec<RawReference>>(file)? {
                let line = place(&raw.id);
                loaded.references.push(Placed {
                    item: reference(raw),
                    file: index,
                    line,
                });
            }
        }
        "words.yaml" | "words" => loaded.words.extend(words(parse(file)?)),
        _ => {
            return Err(Problem {
                file: file.name.clone(),
                line: 0,
                column: 0,
                message: "this file has no place in the knowledge folder".to_owned(),
                remedy: "put it into classes/, causes/, questions/ or words/, or name it cautions.yaml, \
                         sources.yaml, words.yaml, standards/error-codes.yaml or \
                         standards/states.yaml"
                    .to_owned(),
                excerpt: String::new(),
            });
        }
    }
    Ok(())
}

/// Base rates are percents of all drives: together they are 100, but for rounding.
fn check_base_rates(file: &SourceFile, line: usize, raw: &RawQuestion) -> Result<(), Problem> {
    let total: f64 = raw.findings.iter().map(|finding| finding.base).sum();
    if (total - 100.0).abs() <= 1.0 {
        return Ok(());
    }
    let (line, column) = locate(&file.text, line, "findings").unwrap_or((line, 1));
    Err(Problem {
        file: file.name.clone(),
        line,
        column,
        message: format!("the bases of {} add up to {total}", raw.id),
        remedy: "make them add up to 100 percent".to_owned(),
        excerpt: file
            .text
            .lines()
            .nth(line.saturating_sub(1))
            .unwrap_or("")
            .to_owned(),
    })
}

/// Parses YAML strictly: unknown and doubled keys are errors, aliases and depth are limited.
pub fn parse<T: DeserializeOwned>(file: &SourceFile) -> Result<T, Problem> {
    serde_saphyr::from_str(&file.text).map_err(|error| {
        let plain = error.without_snippet();
        let (line, column) = plain.location().map_or((1, 1), |place| {
            (place.line() as usize, place.column() as usize)
        });
        let message = in_plain_words(&first_line(&plain.to_string()));
        Problem {
            file: file.name.clone(),
            line,
            column,
            remedy: remedy_for(&message),
            message,
            excerpt: file
                .text
                .lines()
                .nth(line.saturating_sub(1))
                .unwrap_or("")
                .to_owned(),
        }
    })
}

/// The message without the place, which is told apart.
fn first_line(message: &str) -> String {
    let line = message.lines().next().unwrap_or("").trim();
    let line = line.strip_prefix("error: ").unwrap_or(line);
    match line.find(" at line ") {
        Some(at) => line[..at].to_owned(),
        None => line.to_owned(),
    }
}

/// What the parser calls mappings and sequences, as an author sees them; its own settings are none
/// of the author's business.
fn in_plain_words(message: &str) -> String {
    let told = message
        .split(", set DuplicateKeyPolicy")
        .next()
        .unwrap_or(message);
    told.replace(
        "expected mapping start",
        "expected lines of the form key: value",
    )
    .replace(
        "expected sequence start",
        "expected a list, each item after a dash",
    )
}

/// A remedy from the parser's message; an unknown field or word gets its nearest neighbour.
fn remedy_for(message: &str) -> String {
    let quoted: Vec<&str> = message.split('`').skip(1).step_by(2).collect();
    if let (Some(typed), Some((_, known))) = (quoted.first(), message.split_once(", expected "))
        && message.starts_with("unknown")
    {
        let known: Vec<&str> = known
            .trim_start_matches("one of ")
            .split([',', ' ', '`'])
            .filter(|name| !name.is_empty() && *name != "or")
            .collect();
        return match nearest(typed, known.iter().copied()) {
            Some(name) => format!("did you mean `{name}`?"),
            None => format!("use one of: {}", known.join(", ")),
        };
    }
    if message.contains("missing field") {
        let field = quoted.first().copied().unwrap_or("the field");
        return format!("add `{field}:` to this item; see knowledge/README.md for its form");
    }
    if message.contains("duplicate") {
        return "keep one of the two and delete the other".to_owned();
    }
    if message.contains("boolean") || message.contains("integer") || message.contains("floating") {
        return "put the text in quotes".to_owned();
    }
    "compare with an example of such a file; text with a colon needs quotes or a > block".to_owned()
}

fn folded(text: String) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn coding(raw: RawCoding) -> Coding {
    Coding {
        mode: raw.mode,
        mechanism: raw.mechanism,
        cause: raw.cause,
        activity: raw.activity,
    }
}

fn class_causes(raw: RawClassCauses) -> Vec<ClassCause> {
    let with = |how_often| move |cause| ClassCause { cause, how_often };
    raw.often
        .into_iter()
        .map(with(HowOften::Often))
        .chain(raw.sometimes.into_iter().map(with(HowOften::Sometimes)))
        .chain(raw.rarely.into_iter().map(with(HowOften::Rarely)))
        .collect()
}

fn class(id: &str, raw: RawClass) -> FaultClass {
    FaultClass {
        id: id.to_owned(),
        title: folded(raw.title),
        kind: raw.kind,
        meaning: folded(raw.meaning),
        first_look: folded(raw.first_look),
        phrases: raw.phrases,
        abbreviations: raw.abbreviations,
        standard_codes: raw.standard_codes,
        causes: class_causes(raw.causes),
        confused_with: raw
            .confused_with
            .into_iter()
            .map(|other| LookAlike {
                class: other.class,
                ask: other.ask,
                because: folded(other.because),
            })
            .collect(),
        inseparable: raw.inseparable,
        cautions: raw.cautions,
        coding: coding(raw.coding),
    }
}

/// The cautions that an access brings by itself, then the item's own, each once.
fn with_access_cautions(access: Access, own: Vec<String>) -> Vec<String> {
    let by_access = access.cautions();
    let mut all: Vec<String> = by_access.iter().map(|id| (*id).to_owned()).collect();
    all.extend(
        own.into_iter()
            .filter(|id| !by_access.contains(&id.as_str())),
    );
    all
}

fn cause(raw: RawCause) -> Cause {
    let signs = raw
        .signs
        .into_iter()
        .flat_map(|(question, findings)| {
            findings.into_iter().map(move |(finding, level)| Sign {
                question: question.clone(),
                finding,
                level,
            })
        })
        .collect();
    Cause {
        id: raw.id,
        name: folded(raw.name),
        what: folded(raw.what),
        signs,
        cautions: with_access_cautions(raw.confirm.access, raw.cautions),
        confirm: Confirm {
            how: folded(raw.confirm.how),
            settled_by: raw.confirm.settled_by.and_then(|by| by.into_iter().next()),
            minutes: raw.confirm.minutes,
            access: raw.confirm.access,
            ends_in: raw.confirm.ends_in.unwrap_or(raw.confirm.access),
        },
        put_right: folded(raw.put_right),
        prove: folded(raw.prove),
        fails_with: raw.fails_with.map(folded),
        coding: coding(raw.coding),
    }
}

fn question(raw: RawQuestion) -> Question {
    let total: f64 = raw.findings.iter().map(|finding| finding.base).sum();
    Question {
        id: raw.id,
        short: raw.short.map(|short| short.trim().replace([' ', '_'], "-")),
        ask: folded(raw.ask),
        how: folded(raw.how),
        tells: folded(raw.tells),
        access: raw.access,
        ends_in: raw.ends_in.unwrap_or(raw.access),
        minutes: raw.minutes,
        cautions: with_access_cautions(raw.access, raw.cautions),
        before_power_off: raw.before_power_off,
        measure: raw.reading.map(|reading| Measure {
            check: reading.check,
            inputs: reading.inputs,
            source: reading.source,
        }),
        findings: raw
            .findings
            .into_iter()
            .map(|finding| Finding {
                id: finding.id,
                text: folded(finding.text),
                // The sum has been looked at; shares are of the real one, so that rounding is no matter.
                base: if total > 0.0 {
                    finding.base / total
                } else {
                    0.0
                },
                when: finding.when,
            })
            .collect(),
    }
}

fn caution(raw: RawCaution) -> Caution {
    Caution {
        id: raw.id,
        signal: raw.signal,
        text: folded(raw.text),
        sources: raw.sources,
    }
}

fn reference(raw: RawReference) -> Reference {
    Reference {
        id: raw.id,
        title: folded(raw.title),
        note: raw.note.map(folded),
    }
}

fn words(raw: RawWords) -> Words {
    Words {
        abbreviations: raw
            .abbreviations
            .into_iter()
            .map(|one| Abbreviation {
                word: one.word,
                means: one.means,
                classes: one.classes,
                ask: one.ask,
            })
            .collect(),
        synonyms: raw
            .synonyms
            .into_iter()
            .map(|one| Synonym {
                means: one.means,
                say: one.say,
            })
            .collect(),
        translations: raw
            .translations
            .into_iter()
            .map(|one| Translation {
                english: one.english,
                terms: one
                    .terms
                    .into_iter()
                    .map(|(language, terms)| (language.0, terms))
                    .collect(),
            })
            .collect(),
        moments: raw.moments.into_iter().collect(),
        filler: raw.filler,
        out_of_scope: raw.out_of_scope,
        plain: raw.plain,
        elsewhere: raw.elsewhere,
    }
}
