//! The command line as a person and a script meet it.
