//! What is probably broken, how surely, why, and what to do next.
//!
//! Findings of a job ([`facts`]) and a code book with its priors ([`prior`])
//! give a network ([`model`]); an exact sum over it ([`exact`]) gives the
//! suspects ([`suspects`]); a planner ([`plan`], [`next`]) puts checks, repairs
//! and giving up on one scale. Nothing here reads a clock, draws from chance or
//! knows a browser: seeds and times are passed in.

pub mod draws;
pub mod exact;
pub mod facts;
pub mod frozen;
pub mod job;
pub mod key;
pub mod log;
pub mod meter;
pub mod model;
pub mod network;
pub mod next;
pub mod plain;
pub mod plan;
pub mod pool;
pub mod price;
pub mod prior;
pub mod proportion;
pub mod random;
pub mod record;
pub mod rules;
pub mod suspects;
pub mod trial;

pub use facts::{Facts, Noticed};
pub use key::Key;
pub use network::{Finding, Network, Observed};
