import { createRootRoute, createRoute, createRouter, Link } from '@tanstack/react-router';
import { lazy, Suspense, type ComponentType } from 'react';
import { Shell } from './shell.js';
import { Failed, Loading } from '../components/states.js';
import { readChangesSearch } from '../features/changes/changes-search.js';
import { readHealthSearch } from '../features/data-health/health-search.js';
import { readPlanSearch } from '../features/plan/plan-search.js';
import { readPortfolioSearch } from '../features/portfolio/portfolio-search.js';
import { readReportSearch } from '../features/report/report-search.js';
import { readStudySearch } from '../features/study/ask/question-search.js';
import { RoundPage } from '../features/round/round-page.js';
import { readRoundSearch } from '../features/round/round-search.js';

/** Pages other than the round load when they are opened. */
function page(load: () => Promise<ComponentType>) {
  const Page = lazy(async () => ({ default: await load() }));
  return function LazyPage() {
    return (
      <Suspense fallback={<Loading what="the page" />}>
        <Page />
      </Suspense>
    );
  };
}

const rootRoute = createRootRoute({
  component: Shell,
  notFoundComponent: () => (
    <>
      <h1>There is no such page</h1>
      <p>
        <Link to="/">Go to the round</Link>
      </p>
    </>
  ),
});

const roundRoute = createRoute({
  getParentRoute: () => rootRoute,
  path: '/',
  validateSearch: readRoundSearch,
  component: RoundPage,
});

const route = <Path extends string>(path: Path, load: () => Promise<ComponentType>) =>
  createRoute({ getParentRoute: () => rootRoute, path, component: page(load) });

const portfolioRoute = createRoute({
  getParentRoute: () => rootRoute,
  path: '/portfolio',
  validateSearch: readPortfolioSearch,
  component: page(async () => (await import('../features/portfolio/portfolio-page.js')).PortfolioPage),
});

const planRoute = createRoute({
  getParentRoute: () => rootRoute,
  path: '/plan',
  validateSearch: readPlanSearch,
  component: page(async () => (await import('../features/plan/plan-page.js')).PlanPage),
});

const briefsRoute = createRoute({
  getParentRoute: () => rootRoute,
  path: '/plan/briefs',
  validateSearch: readPlanSearch,
  component: page(async () => (await import('../features/plan/briefs-page.js')).BriefsPage),
});

const reportRoute = createRoute({
  getParentRoute: () => rootRoute,
  path: '/sites/$site/report',
  validateSearch: readReportSearch,
  component: page(async () => (await import('../features/report/report-page.js')).ReportPage),
});

const studyRoute = createRoute({
  getParentRoute: () => rootRoute,
  path: '/study',
  validateSearch: readStudySearch,
  component: page(async () => (await import('../features/study/study-page.js')).StudyPage),
});

const changesRoute = createRoute({
  getParentRoute: () => rootRoute,
  path: '/changes',
  validateSearch: readChangesSearch,
  component: page(async () => (await import('../features/changes/changes-page.js')).ChangesPage),
});

const fleetHealthRoute = createRoute({
  getParentRoute: () => rootRoute,
  path: '/data',
  validateSearch: readHealthSearch,
  component: page(async () => (await import('../features/data-health/fleet-health-page.js')).FleetHealthPage),
});

const siteHealthRoute = createRoute({
  getParentRoute: () => rootRoute,
  path: '/data/$site',
  validateSearch: readHealthSearch,
  component: page(async () => (await import('../features/data-health/site-health-page.js')).SiteHealthPage),
});

/** `heard`: the sender of which a site or unit is to be made. */
const readHeard = (search: Record<string, unknown>): { heard?: string } =>
  typeof search.heard === 'string' ? { heard: search.heard } : {};

const registryRoute = createRoute({
  getParentRoute: () => rootRoute,
  path: '/registry',
  validateSearch: readHeard,
  component: page(async () => (await import('../features/registry/registry-page.js')).RegistryPage),
});

const newUnitRoute = createRoute({
  getParentRoute: () => rootRoute,
  path: '/registry/$site/new-unit',
  validateSearch: readHeard,
  component: page(async () => (await import('../features/registry/new-unit-page.js')).NewUnitPage),
});

export const router = createRouter({
  routeTree: rootRoute.addChildren([
    roundRoute,
    route('/units/$site/$unit', async () => (await import('../features/unit/unit-page.js')).UnitPage),
    route(
      '/units/$site/$unit/brief',
      async () => (await import('../features/brief/brief-page.js')).BriefPage,
    ),
    portfolioRoute,
    planRoute,
    briefsRoute,
    reportRoute,
    changesRoute,
    fleetHealthRoute,
    siteHealthRoute,
    route('/fleet', async () => (await import('../features/fleet/fleet-page.js')).FleetPage),
    studyRoute,
    route('/unread', async () => (await import('../features/unread/unread-page.js')).UnreadPage),
    route(
      '/refrigerants',
      async () => (await import('../features/refrigerants/refrigerants-page.js')).RefrigerantsPage,
    ),
    route('/accuracy', async () => (await import('../features/decisions/accuracy-page.js')).AccuracyPage),
    route('/join', async () => (await import('../features/people/join-page.js')).JoinPage),
    route('/account', async () => (await import('../features/people/account-page.js')).AccountPage),
    route(
      '/accounts',
      async () => (await import('../features/people/accounts/accounts-page.js')).AccountsPage,
    ),
    route('/log', async () => (await import('../features/people/accounts/log-page.js')).LogPage),
    route(
      '/account/notices',
      async () => (await import('../features/notices/own-notices-page.js')).OwnNoticesPage,
    ),
    route('/outgoing', async () => (await import('../features/notices/outgoing-page.js')).OutgoingPage),
    registryRoute,
    newUnitRoute,
    route('/registry/table', async () => (await import('../features/registry/table-page.js')).TablePage),
    route(
      '/registry/$site/gateways',
      async () => (await import('../features/gateways/gateways-page.js')).GatewaysPage,
    ),
    route('/registry/heard', async () => (await import('../features/registry/heard-page.js')).HeardPage),
    route(
      '/registry/$site',
      async () => (await import('../features/registry/site-page.js')).RegisteredSitePage,
    ),
    route(
      '/registry/$site/units/$unit',
      async () => (await import('../features/registry/unit-page.js')).RegisteredUnitPage,
    ),
    route('/words', async () => (await import('../features/words/words-page.js')).WordsPage),
  ]),
  scrollRestoration: true,
  defaultPreload: 'intent',
  defaultErrorComponent: ({ error }) => (
    <Failed
      what="this page"
      error={error instanceof Error ? error : new Error(String(error))}
      retry={() => window.location.reload()}
    />
  ),
});

declare module '@tanstack/react-router' {
  interface Register {
    router: typeof router;
  }
}
