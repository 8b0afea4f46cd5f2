//! What went wrong, for people: message, cause, what to do next; and the exit code.

use std::fmt;
use std::io;
use std::process::ExitCode;

/// How a run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Done.
    Done,
    /// Ran well, the answer is no: nothing found, verdict unresolved, check not normal.
    No,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> ExitCode {
        match outcome {
            Outcome::Done => ExitCode::SUCCESS,
            Outcome::No => ExitCode::from(1),
        }
    }
}

/// What kind of failure it is; it picks the exit code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The command line or an answer was not right.
    Usage,
    /// Our own data is bad: knowledge, log.
    Data,
    /// The user stopped.
    Interrupted,
    /// Whoever reads our output has gone.
    ClosedPipe,
}

/// A failure with its message, cause and next step.
#[derive(Debug)]
pub struct Failure {
    /// What kind.
    pub kind: Kind,
    /// One line, in the user's own words.
    pub message: String,
    /// Why, where it adds something.
    pub cause: Option<String>,
    /// A command to copy or a thing to do.
    pub next: Option<String>,
}

impl Failure {
    /// The command line or an answer was not right.
    pub fn usage(message: impl Into<String>) -> Failure {
        Failure::new(Kind::Usage, message)
    }

    /// Our own data is bad.
    pub fn data(message: impl Into<String>) -> Failure {
        Failure::new(Kind::Data, message)
    }

    /// The user stopped.
    pub fn interrupted(message: impl Into<String>) -> Failure {
        Failure::new(Kind::Interrupted, message)
    }

    fn new(kind: Kind, message: impl Into<String>) -> Failure {
        Failure {
            kind,
            message: message.into(),
            cause: None,
            next: None,
        }
    }

    /// Adds why.
    #[must_use]
    pub fn because(mut self, cause: impl Into<String>) -> Failure {
        self.cause = Some(cause.into());
        self
    }

    /// Adds what to do next.
    #[must_use]
    pub fn next(mut self, next: impl Into<String>) -> Failure {
        self.next = Some(next.into());
        self
    }

    /// The exit code of this kind.
    pub fn exit_code(&self) -> ExitCode {
        match self.kind {
            Kind::Usage => ExitCode::from(2),
            Kind::Data => ExitCode::from(3),
            Kind::Interrupted => ExitCode::from(130),
            Kind::ClosedPipe => ExitCode::SUCCESS,
        }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "error: {}", self.message)?;
        if let Some(cause) = &self.cause {
            write!(f, "\ncause: {cause}")?;
        }
        if let Some(next) = &self.next {
            write!(f, "\nnext:  {next}")?;
        }
        Ok(())
    }
}

impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Failure {
        if error.kind() == io::ErrorKind::BrokenPipe {
            return Failure::new(Kind::ClosedPipe, "the reader of the output has gone");
        }
        Failure::data("input or output failed").because(error.to_string())
    }
}

impl From<anyhow::Error> for Failure {
    fn from(error: anyhow::Error) -> Failure {
        let mut chain = error.chain().map(ToString::to_string);
        let message = chain.next().unwrap_or_default();
        let rest: Vec<String> = chain.collect();
        let failure = Failure::data(message);
        if rest.is_empty() {
            failure
        } else {
            failure.because(rest.join(": "))
        }
    }
}
