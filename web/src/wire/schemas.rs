//! The schemas of what HTTP replies, as `/openapi.json` shows them.

use serde_json::{Map, Value};
use utoipa::ToSchema;
use utoipa::openapi::RefOr;
use utoipa::openapi::schema::Schema;

use super::rank::RankReply;
use super::shoes::ShoesReply;
use super::similar::SimilarReply;
use super::why::WhyReply;

/// Each type that HTTP replies with, and each within it, by its name.
pub fn schemas() -> Map<String, Value> {
    let mut found = Vec::new();
    add::<RankReply>(&mut found);
    add::<ShoesReply<'static>>(&mut found);
    add::<SimilarReply>(&mut found);
    add::<WhyReply>(&mut found);
    found.into_iter().filter_map(|(name, schema)| Some((name, serde_json::to_value(schema).ok()?))).collect()
}

fn add<T: ToSchema>(found: &mut Vec<(String, RefOr<Schema>)>) {
    found.push((T::name().into_owned(), T::schema()));
    T::schemas(found);
}
