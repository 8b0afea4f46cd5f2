//! What a policy costs: the whole tree of its decisions is walked, in several worlds at once.
//!
//! Where less than `cut` of the walks of any world gets, the planner looks one step ahead only, and
//! below a twentieth of that the confirm-only list stands in for every policy. Both make a policy look
//! dearer than it is, by little.

use whytrip::diagnosis::belief::Answer;
use whytrip::diagnosis::model::Model;
use whytrip::diagnosis::planner::{Action, confirm_only};
use whytrip::diagnosis::settings::Settings;
use whytrip::diagnosis::situation::Situation;

use crate::policy::{Policy, Step};
use crate::remade::with_settings;
use crate::world::World;

/// Means of a policy in one world.
#[derive(Clone, Copy, Debug, Default)]
pub struct Walked {
    /// Minutes until a cause is confirmed or the walk hands over, hazard prices included.
    pub minutes: f64,
    pub questions: f64,
    /// Share of walks that confirm a cause that is not it.
    pub wrong: f64,
    /// Share of walks that hand over.
    pub handed_over: f64,
}

struct Walker<'w> {
    model: &'w Model,
    /// The same, looked at one step ahead.
    quick: Model,
    policy: Policy,
    worlds: &'w [World],
    cut: f64,
    walked: Vec<Walked>,
}

/// Walks a policy that believes the model, in each world.
pub fn walk(model: &Model, policy: Policy, worlds: &[World], cut: f64) -> Vec<Walked> {
    let mut walker = Walker {
        model,
        quick: with_settings(
            model,
            Settings {
                look_ahead: 1,
                exact_states: 0,
                ..model.settings().clone()
            },
        ),
        policy,
        worlds,
        cut,
        walked: vec![Walked::default(); worlds.len()],
    };
    let shares: Vec<Vec<f64>> = worlds.iter().map(|world| world.shares.clone()).collect();
    walker.go(&Situation::at_start(model), &shares);
    walker.walked
}

/// The same where the world is as planned.
pub fn minutes(model: &Model, policy: Policy, cut: f64) -> f64 {
    walk(model, policy, &[World::as_planned(model)], cut)[0].minutes
}

impl Walker<'_> {
    fn go(&mut self, at: &Situation, shares: &[Vec<f64>]) {
        let reach = shares
            .iter()
            .map(|shares| shares.iter().sum::<f64>())
            .fold(0.0, f64::max);
        if reach < self.cut / 20.0 {
            self.listed(at, shares);
            return;
        }
        let model = if reach < self.cut {
            &self.quick
        } else {
            self.model
        };
        match self.policy.next(model, at) {
            Step::Settled(cause) => {
                for (walked, shares) in self.walked.iter_mut().zip(shares) {
                    walked.wrong += shares.iter().sum::<f64>() - shares[cause];
                }
            }
            Step::Do(Action::Escalate) => self.hand_over(shares),
            Step::Do(Action::Confirm(cause)) => {
                let (next, shares) = self.confirm(at, shares, cause);
                self.go(&next, &shares);
            }
            Step::Do(Action::Ask(question)) => {
                let asked = &self.model.questions()[question];
                let findings = asked.findings.len();
                self.pay(at, shares, asked.access, asked.minutes);
                for (walked, shares) in self.walked.iter_mut().zip(shares) {
                    walked.questions += shares.iter().sum::<f64>();
                }
                for finding in 0..findings {
                    let next = at
                        .answered(self.model, Answer::found(self.model, question, finding))
                        .expect("a step of the model");
                    let worlds = shares.iter().zip(self.worlds);
                    let after: Vec<Vec<f64>> = worlds
                        .map(|(shares, world)| {
                            let row = &world.likelihoods[question][finding];
                            shares
                                .iter()
                                .zip(row)
                                .map(|(one, other)| one * other)
                                .collect()
                        })
                        .collect();
                    self.go(&next, &after);
                }
            }
        }
    }

    fn listed(&mut self, at: &Situation, shares: &[Vec<f64>]) {
        let (mut at, mut shares) = (at.clone(), shares.to_vec());
        for cause in confirm_only(self.model, &at).expect("a list") {
            (at, shares) = self.confirm(&at, &shares, cause);
        }
        self.hand_over(&shares);
    }

    fn confirm(
        &mut self,
        at: &Situation,
        shares: &[Vec<f64>],
        cause: usize,
    ) -> (Situation, Vec<Vec<f64>>) {
        let confirm = self.model.causes()[cause].confirm.as_ref();
        let confirm = confirm.expect("a named cause");
        self.pay(at, shares, confirm.access, confirm.minutes);
        let mut left = shares.to_vec();
        for ((walked, left), world) in self.walked.iter_mut().zip(&mut left).zip(self.worlds) {
            let others = left.iter().sum::<f64>() - left[cause];
            walked.wrong += world.wrong_outcomes * others;
            for (index, share) in left.iter_mut().enumerate() {
                *share *= if index == cause {
                    world.kept.max(world.wrong_outcomes)
                } else {
                    1.0 - world.wrong_outcomes
                };
            }
        }
        let next = at
            .answered(self.model, Answer::NotConfirmed { cause })
            .expect("a step of the model");
        (next, left)
    }

    fn pay(&mut self, at: &Situation, shares: &[Vec<f64>], access: usize, minutes: f64) {
        let moves = self.model.moves();
        let price = moves.minutes(at.access, access) + minutes + moves.accesses()[access].hazard;
        for (walked, shares) in self.walked.iter_mut().zip(shares) {
            walked.minutes += price * shares.iter().sum::<f64>();
        }
    }

    fn hand_over(&mut self, shares: &[Vec<f64>]) {
        for (walked, shares) in self.walked.iter_mut().zip(shares) {
            let reach: f64 = shares.iter().sum();
            walked.minutes += self.model.escalate_minutes() * reach;
            walked.handed_over += reach;
        }
    }
}

/// Mean, 90th percentile and worst.
pub fn spread(mut values: Vec<f64>) -> (f64, f64, f64) {
    values.sort_by(f64::total_cmp);
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let ninth = values[(values.len() - 1) * 9 / 10];
    (mean, ninth, values[values.len() - 1])
}
