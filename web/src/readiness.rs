//! Whether the server should be sent requests, and why not.

use std::sync::atomic::{AtomicU8, Ordering};

/// What the server is doing, where that keeps it from answering.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub enum State {
    /// Pages and searches are answered.
    Ready,
    /// The catalogue is being opened.
    Starting,
    /// The index is being built anew, and searches have nothing to look in.
    Rebuilding,
    /// It was told to stop and finishes what it has begun.
    Draining,
}

/// The state, as all requests see it.
#[derive(Debug)]
pub struct Readiness(AtomicU8);

const STATES: [State; 4] = [State::Ready, State::Starting, State::Rebuilding, State::Draining];

impl Readiness {
    /// Of a server in this state.
    pub const fn of(state: State) -> Self {
        Self(AtomicU8::new(state as u8))
    }

    /// The state now.
    pub fn state(&self) -> State {
        STATES[usize::from(self.0.load(Ordering::Acquire)) % STATES.len()]
    }

    /// Goes on to another state; a server that drains does so until its end.
    pub fn set(&self, state: State) {
        let from = |now: u8| (now != State::Draining as u8).then_some(state as u8);
        let _ = self.0.fetch_update(Ordering::AcqRel, Ordering::Acquire, from);
    }
}

impl State {
    /// Why it is not ready; `None` when it is.
    pub const fn reason(self) -> Option<&'static str> {
        match self {
            Self::Ready => None,
            Self::Starting => Some("starting: the catalogue is being opened"),
            Self::Rebuilding => Some("the index is being rebuilt"),
            Self::Draining => Some("stopping: requests in flight are finished, no new ones are wanted"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_state_is_told_and_draining_is_the_last() {
        let readiness = Readiness::of(State::Starting);
        for state in [State::Starting, State::Rebuilding, State::Ready] {
            readiness.set(state);
            assert_eq!((readiness.state(), state.reason().is_none()), (state, state == State::Ready));
        }
        readiness.set(State::Draining);
        readiness.set(State::Ready);
        assert_eq!(readiness.state(), State::Draining);
    }
}
