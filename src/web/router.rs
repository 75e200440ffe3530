//! Every route in one table: its method, its address, who may use it, its handler.

use axum::Router;
use axum::handler::Handler;
use axum::http::Method;
use axum::middleware::from_fn_with_state;
use axum::routing::{MethodFilter, MethodRouter, on};

use super::access::{Allow, guard};
use super::state::App;
use super::{
    account, actions, assets, booklet, case, combination, conference, definitions, drafts, files, health,
    judgements, library, overview, present, rates, recurring, settings, sign_in, votes,
};

/// A row of the table: what a test can walk.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rule {
    /// GET or POST.
    pub method: Method,
    /// The address, with `{name}` for what varies.
    pub path: &'static str,
    /// Who may use it.
    pub allow: Allow,
}

/// The table, with the handlers behind it.
#[derive(Default)]
pub struct Routes {
    rows: Vec<(Rule, MethodRouter<App>)>,
}

impl Routes {
    /// Adds a page that is read.
    #[must_use]
    pub fn get<H, T>(self, path: &'static str, allow: Allow, handler: H) -> Self
    where
        H: Handler<T, App>,
        T: 'static,
    {
        self.add(Method::GET, MethodFilter::GET, path, allow, handler)
    }

    /// Adds a form that is sent.
    #[must_use]
    pub fn post<H, T>(self, path: &'static str, allow: Allow, handler: H) -> Self
    where
        H: Handler<T, App>,
        T: 'static,
    {
        self.add(Method::POST, MethodFilter::POST, path, allow, handler)
    }

    fn add<H, T>(
        mut self,
        method: Method,
        filter: MethodFilter,
        path: &'static str,
        allow: Allow,
        handler: H,
    ) -> Self
    where
        H: Handler<T, App>,
        T: 'static,
    {
        let route = on(filter, handler).route_layer(from_fn_with_state(allow, guard));
        self.rows.push((Rule { method, path, allow }, route));
        self
    }

    /// The rules of the table, without the handlers.
    #[must_use]
    pub fn rules(&self) -> Vec<Rule> {
        self.rows.iter().map(|(rule, _)| rule.clone()).collect()
    }

    /// The router that the table describes.
    pub(super) fn into_router(self) -> Router<App> {
        self.rows.into_iter().fold(Router::new(), |router, (rule, route)| router.route(rule.path, route))
    }
}

/// The table of the whole application.
#[must_use]
pub fn routes() -> Routes {
    let routes = Routes::default()
        .get("/static/{*path}", Allow::Anyone, assets::show_asset)
        .get("/health", Allow::Anyone, health::show_health)
        .get("/ready", Allow::Anyone, health::show_ready)
        .get("/", Allow::SignedIn, overview::show_overview)
        .get("/definitions", Allow::SignedIn, definitions::show_definitions);
    let routes = account::add_routes(sign_in::add_routes(routes));
    let routes = drafts::add_routes(present::add_routes(files::add_routes(case::add_routes(routes))));
    let routes = booklet::add_routes(recurring::add_routes(library::add_routes(routes)));
    let routes = actions::add_routes(judgements::add_routes(combination::add_routes(routes)));
    let routes = votes::add_phone_routes(votes::add_presenter_routes(routes));
    settings::add_routes(rates::add_routes(conference::add_routes(routes)))
}
