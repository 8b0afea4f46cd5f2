//! The only door to the streams: what is shown where, how wide, in which colours; lines that are read.

use std::cell::Cell;
use std::env;
use std::io::{self, BufRead, IsTerminal, Write};
use std::time::{Duration, Instant};

use super::failure::Failure;
use crate::render::doc::Document;
use crate::render::terminal::{Style, to_text};
use crate::render::text::{ascii, harmless};

/// When to use colours.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum Colour {
    /// When the output is a terminal and NO_COLOR is not set.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// Widest text that still reads well.
const WIDEST: usize = 80;
const NARROWEST: usize = 30;

/// The streams and how to write to them.
#[derive(Debug)]
pub struct Ui {
    style: Style,
    may_ask: bool,
    interactive: bool,
    echo: bool,
}

impl Ui {
    /// Looks at the environment once.
    pub fn new(colour: Colour, width: Option<usize>, ascii: bool, no_input: bool) -> Ui {
        let out = io::stdout().is_terminal();
        let interactive = io::stdin().is_terminal();
        let dumb = env::var_os("TERM").is_some_and(|term| term == "dumb");
        let no_colour = env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        let colour = match colour {
            Colour::Always => true,
            Colour::Never => false,
            Colour::Auto => out && !dumb && !no_colour,
        };
        let columns = || {
            env::var("COLUMNS")
                .ok()
                .and_then(|columns| columns.parse().ok())
        };
        let terminal = || {
            let (columns, _) = termimad::crossterm::terminal::size().ok()?;
            (columns > 0).then_some(usize::from(columns))
        };
        let width = width
            .or_else(|| {
                if out {
                    terminal().or_else(columns).or(Some(WIDEST))
                } else {
                    columns()
                }
            })
            .map(|width| width.clamp(NARROWEST, WIDEST));
        let style = Style {
            width,
            colour,
            ascii: ascii || !speaks_utf8(),
        };
        // What is typed at a terminal shows by itself; what comes through a pipe does not.
        Ui {
            style,
            may_ask: !no_input,
            interactive,
            echo: !interactive,
        }
    }

    /// Whether a person sits at the keyboard.
    pub fn is_interactive(&self) -> bool {
        self.interactive
    }

    /// Writes a document to the output.
    ///
    /// # Errors
    /// When the output is gone.
    pub fn show(&self, document: &Document) -> Result<(), Failure> {
        self.raw(&to_text(document, self.style))
    }

    /// Writes text that is already made for the output, such as JSON.
    ///
    /// # Errors
    /// When the output is gone.
    pub fn raw(&self, text: &str) -> Result<(), Failure> {
        let mut out = io::stdout().lock();
        out.write_all(text.as_bytes())?;
        if !text.ends_with('\n') {
            out.write_all(b"\n")?;
        }
        out.flush()?;
        Ok(())
    }

    /// Lets `write` send a long text to the output piece by piece.
    ///
    /// # Errors
    /// When the output is gone, or as `write` says.
    pub fn stream(
        &self,
        write: impl FnOnce(&mut dyn Write) -> Result<(), Failure>,
    ) -> Result<(), Failure> {
        let mut out = io::BufWriter::new(io::stdout().lock());
        write(&mut out)?;
        out.flush()?;
        Ok(())
    }

    /// Whether what is written goes to a terminal.
    pub fn is_shown(&self) -> bool {
        io::stdout().is_terminal()
    }

    /// A bar for work that takes a while; it shows at a terminal only.
    pub fn bar(&self, what: &'static str, total: Option<u64>) -> Bar {
        Bar::new(what, total, io::stderr().is_terminal())
    }

    /// Whether anybody may be asked at all.
    pub fn may_ask(&self) -> bool {
        self.may_ask
    }

    /// Says a line within a conversation.
    pub fn tell(&self, text: &str) {
        let mut document = Document::new();
        document.text(text);
        // If nobody hears it, the next prompt will notice.
        let _ = self.show(&document);
    }

    /// Says that work takes a moment, where a person waits at a terminal.
    pub fn progress(&self, text: &str) {
        if io::stderr().is_terminal() {
            self.note(text);
        }
    }

    /// Tells something on the side.
    pub fn note(&self, text: &str) {
        let lines: Vec<String> = text.lines().map(|line| self.shown_line(line)).collect();
        // Nobody can be told that nobody can be told.
        let _ = writeln!(io::stderr().lock(), "{}", lines.join("\n"));
    }

    /// Reads one line after a prompt; none at the end of the input.
    ///
    /// # Errors
    /// When questions are switched off, or the streams fail.
    pub fn ask(&self, prompt: &str) -> Result<Option<String>, Failure> {
        if !self.may_ask {
            let question = match prompt.trim() {
                ">" => "the question above has no answer yet".to_owned(),
                asked => format!("an answer is needed: {asked}"),
            };
            return Err(Failure::usage(question).next(
                "answer it on the command line or in a facts file, or leave out --no-input",
            ));
        }
        let mut out = io::stdout().lock();
        write!(out, "{}", self.prompt_text(prompt))?;
        out.flush()?;
        let mut bytes = Vec::new();
        // A line longer than this was not typed by a person.
        let read = io::Read::take(io::stdin().lock(), 64 * 1024).read_until(b'\n', &mut bytes)?;
        if read == 0 {
            writeln!(out)?;
            return Ok(None);
        }
        let line = String::from_utf8_lossy(&bytes)
            .trim_end_matches(['\n', '\r'])
            .to_owned();
        if self.echo {
            writeln!(out, "{}", self.shown_line(&line))?;
        }
        Ok(Some(line))
    }

    /// A prompt as the output wants it; the cursor stays behind it.
    fn prompt_text(&self, prompt: &str) -> String {
        let asked = prompt.trim_end();
        let mut document = Document::new();
        document.text(asked);
        let text = to_text(&document, self.style);
        format!("{}{}", text.trim_end(), &prompt[asked.len()..])
    }

    fn shown_line(&self, line: &str) -> String {
        let line = harmless(line);
        if self.style.ascii { ascii(&line) } else { line }
    }

    /// Writes lines that are laid out already, such as an excerpt with a mark below it.
    ///
    /// # Errors
    /// When the output is gone.
    pub fn lines(&self, text: &str) -> Result<(), Failure> {
        let lines: Vec<String> = text.lines().map(|line| self.shown_line(line)).collect();
        self.raw(&lines.join("\n"))
    }
}

/// A line at a terminal that shows how far work has come.
pub struct Bar {
    what: &'static str,
    total: Option<u64>,
    /// When it was drawn last; none if there is no terminal.
    drawn: Option<Cell<Instant>>,
}

/// How long between two drawings.
const REDRAW: Duration = Duration::from_millis(100);

impl Bar {
    fn new(what: &'static str, total: Option<u64>, shows: bool) -> Bar {
        Bar {
            what,
            total,
            drawn: shows.then(|| Cell::new(Instant::now())),
        }
    }

    /// So many pieces are done.
    pub fn at(&self, done: u64) {
        let Some(drawn) = self.drawn.as_ref() else {
            return;
        };
        // The clock is asked only now and then.
        if !done.is_multiple_of(16) || drawn.get().elapsed() < REDRAW {
            return;
        }
        drawn.set(Instant::now());
        let line = match self.total.filter(|&total| total > 0) {
            Some(total) => {
                let filled = (done.min(total) * 20 / total) as usize;
                format!("{} [{:<20}] {done}/{total}", self.what, "#".repeat(filled))
            }
            None => format!("{} {done}", self.what),
        };
        let _ = write!(io::stderr().lock(), "\r\x1b[K{line}");
    }

    /// Takes the line away.
    pub fn end(self) {
        if self.drawn.is_some() {
            let _ = write!(io::stderr().lock(), "\r\x1b[K");
        }
    }
}

/// Whether the locale says UTF-8; where nothing is said, it is taken for granted.
fn speaks_utf8() -> bool {
    let locale = ["LC_ALL", "LC_CTYPE", "LANG"]
        .iter()
        .find_map(|name| env::var(name).ok().filter(|value| !value.is_empty()));
    locale.is_none_or(|locale| {
        let lower = locale.to_lowercase();
        lower.contains("utf-8") || lower.contains("utf8")
    })
}
