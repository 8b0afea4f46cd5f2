//! An exact solver that shares no code with the planner: plain recursion over normalised shares,
//! every order of questions and confirming actions, remembered by answers, open causes and access.

use std::collections::HashMap;

use whytrip::diagnosis::model::Model;

pub struct Solver<'m> {
    model: &'m Model,
    memo: HashMap<(u64, u32, usize, bool), f64>,
}

#[derive(Clone)]
pub struct Position {
    pub shares: Vec<f64>,
    /// Five bits a question: 0 not asked, else 1 + finding.
    pub known: u64,
    pub open: u32,
    pub access: usize,
    /// The power was taken away.
    pub off: bool,
}

impl<'m> Solver<'m> {
    pub fn new(model: &'m Model) -> Self {
        Self {
            model,
            memo: HashMap::new(),
        }
    }

    pub fn start(&self) -> Position {
        let causes = self.model.causes();
        Position {
            shares: causes.iter().map(|cause| cause.prior).collect(),
            known: 0,
            open: (1 << (causes.len() - 1)) - 1,
            access: self.model.moves().start(),
            off: false,
        }
    }

    pub fn value(&mut self, at: &Position) -> f64 {
        let key = (at.known, at.open, at.access, at.off);
        if let Some(value) = self.memo.get(&key) {
            return *value;
        }
        let mut best = self.model.escalate_minutes();
        for question in 0..self.model.questions().len() {
            let lost = at.off && self.model.questions()[question].before_power_off;
            if at.known >> (5 * question) & 31 == 0 && !lost {
                best = best.min(self.ask(at, question));
            }
        }
        for cause in 0..self.model.something_else() {
            if at.open >> cause & 1 == 1 {
                best = best.min(self.confirm(at, cause));
            }
        }
        self.memo.insert(key, best);
        best
    }

    pub fn ask(&mut self, at: &Position, question: usize) -> f64 {
        let asked = &self.model.questions()[question];
        let mut value = self.step(at, asked.access) + asked.minutes;
        for finding in 0..asked.findings.len() {
            let mut next = at.clone();
            for (share, likelihood) in next
                .shares
                .iter_mut()
                .zip(self.model.floored(question, finding))
            {
                *share *= likelihood;
            }
            next.known |= (finding as u64 + 1) << (5 * question);
            next.access = asked.ends_in;
            next.off |= self.takes_power(asked.access) || self.takes_power(asked.ends_in);
            value += self.after(next);
        }
        value
    }

    pub fn confirm(&mut self, at: &Position, cause: usize) -> f64 {
        let confirm = self.model.causes()[cause]
            .confirm
            .as_ref()
            .expect("a named cause");
        let mut next = at.clone();
        next.shares[cause] *= self.model.settings().wrongly_ruled_out;
        next.open &= !(1 << cause);
        next.access = confirm.ends_in;
        next.off |= self.takes_power(confirm.access) || self.takes_power(confirm.ends_in);
        self.step(at, confirm.access) + confirm.minutes + self.after(next)
    }

    fn takes_power(&self, access: usize) -> bool {
        self.model.moves().accesses()[access].powers_off
    }

    fn step(&self, at: &Position, to: usize) -> f64 {
        self.model.moves().minutes(at.access, to) + self.model.moves().accesses()[to].hazard
    }

    fn after(&mut self, mut next: Position) -> f64 {
        let chance: f64 = next.shares.iter().sum();
        if chance <= 0.0 {
            return 0.0;
        }
        next.shares.iter_mut().for_each(|share| *share /= chance);
        chance * self.value(&next)
    }
}
