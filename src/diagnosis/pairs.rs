//! A cheap stand-in for the confirm-only list, to rank questions by.
//!
//! Without moves the list by share/price costs, over all pairs of causes, the smaller of "price of
//! one times share of the other": whichever of the two is tried first, the other waits for it. That
//! sum after each finding ranks questions without laying out a list; the causes with the largest
//! shares are enough for it.

use super::board::{Board, LEAST_MINUTES, Shares, State};

/// Most causes that are paired.
const MOST_PAIRED: usize = 8;

/// The likeliest causes of a state.
pub(super) struct Pairs {
    len: usize,
    causes: [usize; MOST_PAIRED],
    shares: [f64; MOST_PAIRED],
    /// What settling each costs from here.
    prices: [f64; MOST_PAIRED],
    paces: [f64; MOST_PAIRED],
}

impl Pairs {
    pub fn new(board: &Board, state: &State) -> Self {
        let mut pairs = Self {
            len: 0,
            causes: [0; MOST_PAIRED],
            shares: [0.0; MOST_PAIRED],
            prices: [0.0; MOST_PAIRED],
            paces: [0.0; MOST_PAIRED],
        };
        for (cause, share) in state.shares[..board.causes].iter().enumerate() {
            pairs.insert(cause, *share);
        }
        for at in 0..pairs.len {
            let cause = pairs.causes[at];
            let price = if state.open >> cause & 1 == 1 {
                board.least[state.access][cause]
            } else {
                board.escalate
            };
            pairs.prices[at] = price.max(LEAST_MINUTES);
            pairs.paces[at] = pairs.shares[at] / pairs.prices[at];
        }
        pairs
    }

    /// Keeps the largest shares in falling order.
    fn insert(&mut self, cause: usize, share: f64) {
        let mut at = self.len;
        while at > 0 && self.shares[at - 1] < share {
            if at < MOST_PAIRED {
                self.shares[at] = self.shares[at - 1];
                self.causes[at] = self.causes[at - 1];
            }
            at -= 1;
        }
        if at < MOST_PAIRED {
            self.shares[at] = share;
            self.causes[at] = cause;
            self.len = (self.len + 1).min(MOST_PAIRED);
        }
    }

    /// The sum over the pairs after a finding with these likelihoods.
    pub fn price(&self, likelihoods: &Shares) -> f64 {
        let mut paces = [0.0; MOST_PAIRED];
        for ((pace, own), cause) in paces.iter_mut().zip(&self.paces).zip(&self.causes) {
            *pace = own * likelihoods[*cause];
        }
        let mut sum = 0.0;
        for one in 1..self.len {
            let below: f64 = self.prices[..one]
                .iter()
                .zip(&paces[..one])
                .map(|(price, other)| price * paces[one].min(*other))
                .sum();
            sum += self.prices[one] * below;
        }
        sum
    }
}
