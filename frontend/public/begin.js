// What the first screen needs is asked for now, while the program still loads; src/api/begun.ts takes it.
(() => {
  const begun = (window.begun = {});
  const begin = (path) => {
    begun[path] = fetch(path);
    // Whoever takes it sees its failure; nobody else has to.
    begun[path].catch(() => {});
    return begun[path];
  };
  // Of pages that load when they are opened, by the first part of their address: the build names them.
  const files = JSON.parse(document.getElementById('files-of-pages').textContent);
  const { pathname, search } = location;
  const unit = /^\/units\/[^/]+\/[^/]+(\/brief)?/.exec(pathname);
  const page = unit === null ? pathname.split('/')[1] : unit[1] ? 'brief' : 'unit';
  for (const href of files[page] ?? []) {
    const link = document.createElement('link');
    link.rel = href.endsWith('.css') ? 'preload' : 'modulepreload';
    if (link.rel === 'preload') link.as = 'style';
    // As the program asks for them, or each would come twice.
    link.crossOrigin = '';
    link.href = href;
    document.head.append(link);
  }
  // As src/app/preferences.tsx has it.
  const theme = (() => {
    try {
      return localStorage.getItem('coldrounds.theme');
    } catch {
      return null; // Storage can be refused.
    }
  })();
  if (theme === 'dark' || (theme !== 'light' && matchMedia('(prefers-color-scheme: dark)').matches))
    document.documentElement.dataset.theme = 'dark';
  begin('/api/session');
  if (pathname === '/' && search === '') begin('/api/rounds?limit=12');
  // The browser reads its tables of time zones at the first use, which takes long on a slow machine: now it only waits.
  setTimeout(() => new Intl.DateTimeFormat('en-US', { hour: 'numeric', timeZone: 'Europe/Paris' }).format());
  if (unit === null) return;
  begin('/api' + unit[0].replace(/\/brief$/, ''))
    .then((answer) => answer.clone().json())
    .then(({ diagnoses, findings }) => {
      // Its picture, where the first problem is the one that stands first.
      const [first] = diagnoses;
      const shown = first ? first.symptoms.find((id) => !first.consequences.includes(id)) : findings[0]?.id;
      if (shown !== undefined) begin('/api/findings/' + shown + '/evidence');
    })
    .catch(() => {});
})();
