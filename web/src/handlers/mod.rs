//! Handlers: one file a page. Each gathers what its page needs and returns it; none holds markup.

pub mod assets;
pub mod frame;
