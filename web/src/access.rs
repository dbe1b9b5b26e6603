//! Who may use an address, declared where the address is: a route without it does not compile.

use std::sync::Arc;

use axum::Router;
use axum::handler::Handler;
use axum::http::Method;
use axum::middleware::from_fn;
use axum::routing::MethodFilter;
use axum::routing::{MethodRouter, on};

use crate::app::AppState;
use crate::layers::access::checked;

/// Who may use an address, each including those after it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Access {
    /// Whoever reaches the server: the customer's comparison, what the advice rests on, the way in.
    Anybody,
    /// Whoever fits: stock, and the visits.
    Fitter,
    /// The owner, and a scraper on this computer where the server was started with `--metrics-on-loopback`: its numbers.
    Scraper,
    /// The owner: what changes the catalogue, and what tells of the shop.
    Owner,
    /// The owner, who has given the password within the last minutes: what is hard to take back.
    OwnerAnew,
}

/// One declared address: its template, its method, and who may use it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Declared {
    /// The template: `/shoes/{style}`.
    pub path: &'static str,
    /// The method.
    pub method: Method,
    /// Who may use it.
    pub access: Access,
}

/// What answers at one address, method by method.
pub struct Answering {
    methods: MethodRouter<Arc<AppState>>,
    declared: Vec<(Method, Access)>,
}

impl Access {
    /// Reads by `handler`.
    pub fn get<H, T>(self, handler: H) -> Answering
    where
        H: Handler<T, Arc<AppState>>,
        T: 'static,
    {
        self.on(Method::GET, MethodFilter::GET, handler)
    }

    /// Does by `handler` what a form posts.
    pub fn post<H, T>(self, handler: H) -> Answering
    where
        H: Handler<T, Arc<AppState>>,
        T: 'static,
    {
        self.on(Method::POST, MethodFilter::POST, handler)
    }

    fn on<H, T>(self, method: Method, filter: MethodFilter, handler: H) -> Answering
    where
        H: Handler<T, Arc<AppState>>,
        T: 'static,
    {
        let methods = on(filter, handler);
        // What anybody may do is not asked for.
        let methods = match self {
            Self::Anybody => methods,
            access => methods.route_layer(from_fn(move |request, next| checked(access, request, next))),
        };
        Answering { methods, declared: vec![(method, self)] }
    }
}

impl Answering {
    /// Both methods at one address.
    #[must_use]
    pub fn and(mut self, other: Self) -> Self {
        self.declared.extend(other.declared);
        Self { methods: self.methods.merge(other.methods), declared: self.declared }
    }
}

/// The addresses of the program.
#[derive(Default)]
pub struct Routes {
    router: Router<Arc<AppState>>,
    declared: Vec<Declared>,
}

impl Routes {
    /// With one more address.
    #[must_use]
    pub fn at(mut self, path: &'static str, answering: Answering) -> Self {
        let Answering { methods, declared } = answering;
        self.declared.extend(declared.into_iter().map(|(method, access)| Declared { path, method, access }));
        Self { router: self.router.route(path, methods), declared: self.declared }
    }

    /// With those of `others`.
    #[must_use]
    pub fn with(mut self, others: Self) -> Self {
        self.declared.extend(others.declared);
        Self { router: self.router.merge(others.router), declared: self.declared }
    }

    /// Each address with who may use it, in the order of the map.
    pub fn declared(&self) -> &[Declared] {
        &self.declared
    }

    /// The router over them.
    pub fn into_router(self) -> Router<Arc<AppState>> {
        self.router
    }
}
