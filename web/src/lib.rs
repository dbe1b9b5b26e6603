//! The `lastbench` binary: command line, pages and JSON for fitter, customer and owner.
//!
//! In reading order: the limits ([`config`]) and the time ([`clock`]); connections ([`serve`]) and what every
//! request passes ([`layers`], [`refusal`]); who may do what ([`access`], [`staff`]) and what is told of it ([`events`]); what a request says ([`request`]); the fittings in memory
//! ([`fittings`], [`fitting_name`], [`tries`], [`shelf`], [`cookie`]); the pages, plain structs of data with a view ([`pages`], [`parts`],
//! [`labels`]); what fills them ([`app`], [`routes`], [`handlers`], with the sentences of [`visit`], [`browse`] and [`owner`], in the language of [`words`]; [`waiting`]);
//! the JSON ([`wire`]), what is done at night ([`night`]) and the command line ([`cli`]).

#[macro_use]
pub mod words;

pub mod access;
pub mod app;
pub mod browse;
pub mod cli;
pub mod clock;
pub mod config;
pub mod cookie;
pub mod events;
pub mod fitting_name;
pub mod fittings;
pub mod handlers;
pub mod labels;
pub mod layers;
pub mod log;
pub mod metrics;
pub mod night;
pub mod openapi;
pub mod opening;
pub mod owner;
pub mod pages;
pub mod parts;
pub mod readiness;
pub mod refusal;
pub mod request;
pub mod routes;
pub mod sample;
pub mod serve;
pub mod shelf;
pub mod staff;
pub mod tries;
pub mod visit;
pub mod waiting;
pub mod wire;

pub use cli::main;
