//! Invented models from a seed, shaped like fault classes: priors of three levels times noise,
//! questions that each speak to some causes, cheap looks and dear isolated measurements.

use whytrip::diagnosis::model::{Cause, Confirm, Model, Question};
use whytrip::diagnosis::moves::{Access, Moves};
use whytrip::diagnosis::settings::Settings;

/// SplitMix64 [Steele, Lea & Flood 2014]: small, seeded, the same everywhere.
pub struct Random(u64);

impl Random {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x5851_f42d_4c95_7f2d)
    }

    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((bits ^ (bits >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    pub fn below(&mut self, count: usize) -> usize {
        ((self.unit() * count as f64) as usize).min(count - 1)
    }

    /// About normal: twelve units less six.
    pub fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.unit()).sum::<f64>() - 6.0
    }
}

/// What a generated class looks like.
#[derive(Clone)]
pub struct Shape {
    /// *Something else* included.
    pub causes: usize,
    pub questions: usize,
    pub most_findings: usize,
    /// Three accesses without hazard, or the usual four with.
    pub four_accesses: bool,
    /// Repairs made isolated end where a run can prove them.
    pub proof_runs: bool,
}

pub fn moves(shape: &Shape, hazard: f64) -> Moves {
    let access = |name: &str, hazard: f64| Access {
        name: name.to_owned(),
        hazard,
        powers_off: name == "isolated",
    };
    if shape.four_accesses {
        let accesses = vec![
            access("observe", 0.0),
            access("operate", 0.0),
            access("live", hazard),
            access("isolated", 0.0),
        ];
        let minutes = [
            vec![0.0, 1.0, 5.0, 18.0],
            vec![1.0, 0.0, 5.0, 18.0],
            vec![5.0, 5.0, 0.0, 14.0],
            vec![14.0, 14.0, 14.0, 0.0],
        ];
        Moves::new(accesses, 0, &minutes).expect("valid moves")
    } else {
        let accesses = vec![
            access("observe", 0.0),
            access("live", hazard),
            access("isolated", 0.0),
        ];
        let minutes = [
            vec![0.0, 5.0, 18.0],
            vec![5.0, 0.0, 14.0],
            vec![14.0, 14.0, 0.0],
        ];
        Moves::new(accesses, 0, &minutes).expect("valid moves")
    }
}

pub fn model(seed: u64, shape: &Shape, hazard: f64, settings: Settings) -> Model {
    let mut random = Random::new(seed);
    let moves = moves(shape, hazard);
    let isolated = moves.accesses().len() - 1;
    let live = isolated - 1;
    let named = shape.causes - 1;
    let something_else = random.between(0.03, 0.08);
    let weights: Vec<f64> = (0..named)
        .map(|_| [9.0, 3.0, 3.0, 1.0][random.below(4)] * (0.45 * random.normal()).exp())
        .collect();
    let sum: f64 = weights.iter().sum();
    let mut causes: Vec<Cause> = weights
        .iter()
        .enumerate()
        .map(|(index, weight)| {
            let place = random.unit();
            let (access, low, high) = match place {
                _ if place < 0.6 => (isolated, 12.0, 75.0),
                _ if place < 0.8 => (live, 8.0, 40.0),
                _ => (random.below(live), 5.0, 25.0),
            };
            let ends_in = if shape.proof_runs && access == isolated {
                live - 1
            } else {
                access
            };
            Cause {
                id: format!("cause-{index}"),
                prior: (1.0 - something_else) * weight / sum,
                confirm: Some(Confirm {
                    minutes: random.between(low, high).round(),
                    access,
                    ends_in,
                }),
            }
        })
        .collect();
    causes.push(Cause {
        id: "something-else".to_owned(),
        prior: something_else,
        confirm: None,
    });
    let questions = (0..shape.questions)
        .map(|index| question(&mut random, index, shape, isolated))
        .collect();
    Model::new(causes, questions, moves, 240.0, settings).expect("a valid model")
}

fn question(random: &mut Random, index: usize, shape: &Shape, isolated: usize) -> Question {
    let live = isolated - 1;
    let place = random.unit();
    let (access, low, high) = match place {
        _ if place < 0.45 => (random.below(live), 1.0, 6.0),
        _ if place < 0.75 => (live, 3.0, 12.0),
        _ => (isolated, 4.0, 20.0),
    };
    let findings = if random.unit() < 0.75 {
        2
    } else {
        3 + random.below(shape.most_findings.max(3) - 2)
    };
    let covers = random.between(0.15, 0.5);
    let mut likelihood = Vec::new();
    for cause in 0..shape.causes {
        let something_else = cause + 1 == shape.causes;
        let row = if something_else {
            let mut row = vec![0.5 / findings as f64; findings];
            row[0] += 0.5;
            row
        } else if random.unit() < 0.08 {
            vec![1.0 / findings as f64; findings]
        } else {
            let hit = random.unit() < covers;
            let lead = if hit {
                1 + random.below(findings - 1)
            } else {
                0
            };
            let own = if hit {
                random.between(0.65, 0.97)
            } else {
                1.0 - random.between(0.02, 0.2)
            };
            let mut row = vec![(1.0 - own) / (findings - 1) as f64; findings];
            row[lead] = own;
            row
        };
        likelihood.push(row);
    }
    Question {
        id: format!("question-{index}"),
        minutes: random.between(low, high).round(),
        access,
        ends_in: access,
        findings: (0..findings)
            .map(|finding| format!("finding-{finding}"))
            .collect(),
        likelihood,
        before_power_off: access == 0 && index.is_multiple_of(2),
    }
}
