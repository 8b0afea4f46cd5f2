//! A conversation with the program, prompt by prompt, for tests whose answers depend on what is
//! asked.

use std::io::{Read, Write};
use std::process::Child;

use super::{Call, flat};
use whytrip::knowledge::{Library, Question};

/// What a prompt ends with. Text of a document always ends its line.
const PROMPTS: &[&str] = &["> ", "? "];

/// A conversation that is going on.
pub struct Talk {
    child: Child,
    /// Everything that was said so far, both ways.
    pub said: String,
}

/// What stands before a prompt.
pub struct Prompt {
    /// Everything since the last answer.
    pub text: String,
}

impl Prompt {
    /// The same text on one line.
    pub fn flat(&self) -> String {
        flat(&self.text)
    }

    /// The question that is asked here.
    pub fn question<'k>(&self, library: &'k Library) -> Option<&'k Question> {
        let text = self.flat();
        library
            .questions()
            .filter_map(|question| Some((text.rfind(&format!(". {} ", question.ask))?, question)))
            .max_by_key(|(place, question)| (*place, question.ask.len()))
            .map(|(_, question)| question)
    }

    /// Whether it asks for leave to do live or isolated work.
    pub fn asks_leave(&self) -> bool {
        self.text.contains("Before the next step: ")
    }

    /// Whether a confirming step stands here.
    pub fn asks_to_confirm(&self) -> bool {
        self.text.contains(". Confirm: ")
    }

    /// Whether it asks how the repair went.
    pub fn asks_how_it_went(&self) -> bool {
        self.text.contains("How did it go?")
    }

    /// Whether it offers to record the walk.
    pub fn offers_the_log(&self) -> bool {
        self.text.contains("Record it in the log?")
    }

    /// Whether it asks for a nameplate value.
    pub fn asks_nameplate(&self) -> bool {
        self.text
            .contains("To say what the next reading should be: ")
    }
}

impl Talk {
    /// Starts a call as a conversation.
    pub fn start(call: Call) -> Talk {
        Talk {
            child: call.start(),
            said: String::new(),
        }
    }

    /// Everything up to the next prompt; none when the program has ended.
    pub fn prompt(&mut self) -> Option<Prompt> {
        let out = self.child.stdout.as_mut().expect("its output");
        let mut bytes = Vec::new();
        let mut chunk = [0; 64 * 1024];
        loop {
            let read = out.read(&mut chunk).expect("a readable output");
            bytes.extend_from_slice(&chunk[..read]);
            let text = String::from_utf8_lossy(&bytes);
            let last = text.rsplit('\n').next().unwrap_or("");
            let asks = PROMPTS.iter().any(|end| last.ends_with(end));
            if read == 0 || asks {
                self.said.push_str(&text);
                return (read > 0).then(|| Prompt {
                    text: text.into_owned(),
                });
            }
        }
    }

    /// Types a line.
    pub fn answer(&mut self, line: &str) {
        let stdin = self.child.stdin.as_mut().expect("its input");
        writeln!(stdin, "{line}").expect("a program that listens");
    }

    /// Goes on with these answers until the program ends, and returns its exit code. No answer
    /// ends the input.
    pub fn go_on(&mut self, mut answer: impl FnMut(&Prompt) -> Option<String>) -> Option<i32> {
        // No walk has that many prompts: one that asks for ever fails.
        for _ in 0..300 {
            let Some(prompt) = self.prompt() else { break };
            match answer(&prompt) {
                Some(line) => self.answer(&line),
                None => break,
            }
        }
        self.child.stdin.take();
        let mut rest = String::new();
        let out = self.child.stdout.as_mut().expect("its output");
        out.read_to_string(&mut rest).expect("a readable output");
        self.said.push_str(&rest);
        self.child.wait().expect("the program ends").code()
    }
}

impl Drop for Talk {
    fn drop(&mut self) {
        // A test that failed half-way leaves nobody waiting.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
