import { QueryClient, QueryClientProvider } from '@tanstack/react-query';
import { RouterProvider } from '@tanstack/react-router';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { PreferencesProvider } from './app/preferences.js';
import { router } from './app/router.js';
import { readFirst } from './app/first-screen.js';

const queryClient = new QueryClient({
  defaultOptions: { queries: { staleTime: 15_000, retry: 1, refetchOnWindowFocus: true } },
});

const page = (
  <StrictMode>
    <QueryClientProvider client={queryClient}>
      <PreferencesProvider>
        <RouterProvider router={router} />
      </PreferencesProvider>
    </QueryClientProvider>
  </StrictMode>
);

/** With answers and route at hand the first drawing is the whole screen. */
async function begin(): Promise<void> {
  await Promise.all([readFirst(queryClient, window.location), router.load().catch(() => {})]);
  const root = document.getElementById('root')!;
  root.textContent = '';
  createRoot(root).render(page);
}
void begin();
