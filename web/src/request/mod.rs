//! What a request says: low types as typed, turned into the domain's own or into sentences about what is wrong.
