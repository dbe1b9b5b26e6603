//! The app as one connection hears it: its stage is told when a request has come and when its answer has gone.

use std::convert::Infallible;
use std::net::IpAddr;
use std::pin::Pin;
use std::task::{Context, Poll};

use axum::Router;
use axum::body::{Body, Bytes};
use hyper::body::{Body as HttpBody, Frame, Incoming, SizeHint};
use hyper::service::Service;
use hyper::{Request, Response};
use hyper_util::service::TowerToHyperService;

use super::peer::Peer;
use super::timed::Stage;

/// `app`, telling `stage`; each request is marked with where it comes from.
pub(super) fn spoken(
    app: Router,
    address: IpAddr,
    stage: Stage,
) -> impl Service<
    Request<Incoming>,
    Response = Response<Answer>,
    Error = Infallible,
    Future = impl Future<Output = Result<Response<Answer>, Infallible>> + Send + 'static,
> {
    let app = TowerToHyperService::new(app);
    hyper::service::service_fn(move |mut request: Request<Incoming>| {
        request.extensions_mut().insert(Peer(address));
        stage.works();
        let (answer, stage) = (app.call(request), stage.clone());
        async move { answer.await.map(|response| response.map(|body| Answer { body, stage })) }
    })
}

/// The body of an answer; the stage changes with its end.
pub(super) struct Answer {
    body: Body,
    stage: Stage,
}

impl HttpBody for Answer {
    type Data = Bytes;
    type Error = axum::Error;

    fn poll_frame(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, axum::Error>>> {
        Pin::new(&mut self.body).poll_frame(cx)
    }

    fn is_end_stream(&self) -> bool {
        self.body.is_end_stream()
    }

    fn size_hint(&self) -> SizeHint {
        self.body.size_hint()
    }
}

impl Drop for Answer {
    fn drop(&mut self) {
        self.stage.is_idle();
    }
}
