//! Browser journeys of the three users.
