//! What the tests share.

pub mod browser;
pub mod chance;
pub mod codes;
pub mod http;
pub mod pages;
pub mod program;
pub mod python;
pub mod relevance;
pub mod sample;
pub mod wire;

/// The program under test in an empty folder of its own; only a test of this package knows where the program is.
#[macro_export]
macro_rules! lastbench {
    () => {
        $crate::program::Lastbench::new(env!("CARGO_BIN_EXE_lastbench-under-test"))
    };
}
