//! The domain of Lastbench: shoes, runners, sizes, rules and the ranking.
//!
//! In reading order: quantities ([`units`]), texts ([`text`]) and names ([`key`]); the shoe ([`style`], [`stock`], [`size`],
//! [`measures`]); the runner ([`runner`], [`fit`], [`strike`], [`injury`], [`flags`]); the shop's opinion ([`policy`]);
//! what studies say
//! ([`evidence`], [`rules`], [`minimalism`], [`slow`]); the ranking itself ([`rank`]); what is seen on the foot
//! ([`trying`]); the plan for the change ([`plan`]); and how far two shoes are apart ([`similar`]).
//!
//! Invariants. Nothing here reads a file, a clock or chance. Odd data gives a value, never a panic. Unknown is a
//! value and never zero: every measure is an `Option`, every answer has three states. A red flag is a type:
//! nobody ranks past it.

pub mod evidence;
pub mod fit;
pub mod flags;
pub mod injury;
pub mod key;
pub mod measures;
pub mod minimalism;
pub mod plan;
pub mod policy;
pub mod rank;
pub mod rules;
pub mod runner;
pub mod similar;
pub mod size;
pub mod slow;
pub mod stock;
pub mod strike;
pub mod style;
pub mod text;
pub mod trying;
pub mod units;
