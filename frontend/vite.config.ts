import { readFileSync } from 'node:fs';
import react from '@vitejs/plugin-react';
import { defineConfig, type Plugin } from 'vite';
import { compression, defineAlgorithm } from 'vite-plugin-compression2';

/** Pages that load when they are opened, by the first part of their address. */
const pages = {
  unit: 'unit/unit-page',
  brief: 'brief/brief-page',
  portfolio: 'portfolio/portfolio-page',
  changes: 'changes/changes-page',
  fleet: 'fleet/fleet-page',
  study: 'study/study-page',
};

/** Names in the page itself which files these pages are made of, so that they come beside the program and not after it. */
function filesOfPages(): Plugin {
  return {
    name: 'files-of-pages',
    transformIndexHtml: {
      order: 'post',
      handler(html, { bundle, chunk: entry }) {
        if (!bundle || !entry) return html;
        const chunks = new Map(
          Object.values(bundle).flatMap((part) => (part.type === 'chunk' ? [[part.fileName, part]] : [])),
        );
        const withImports = (name: string, found = new Set<string>()): Set<string> => {
          const chunk = chunks.get(name);
          if (chunk === undefined || found.has(name)) return found;
          found.add(name);
          for (const css of chunk.viteMetadata?.importedCss ?? []) found.add(css);
          for (const other of chunk.imports) withImports(other, found);
          return found;
        };
        const there = withImports(entry.fileName);
        const files = Object.fromEntries(
          Object.entries(pages).map(([page, path]) => {
            const own = [...chunks.values()].find(
              ({ facadeModuleId }) => facadeModuleId?.endsWith(`/features/${path}.tsx`) ?? false,
            );
            if (own === undefined) throw new Error(`No file holds the page ${path}.`);
            const needed = [...withImports(own.fileName)].filter((name) => !there.has(name));
            return [page, needed.map((name) => `/${name}`)];
          }),
        );
        return html.replace(
          /(<script type="application\/json" id="files-of-pages">)[^<]*/,
          (_, opening: string) => opening + JSON.stringify(files),
        );
      },
    },
  };
}

/**
 * Puts the script that asks for the first answers into the page itself: as a file of its own it would have to come first, and
 * what it asks for a round trip later. The server names it in its Content-Security-Policy by its hash.
 */
function beginInPage(): Plugin {
  const file = new URL('./public/begin.js', import.meta.url);
  return {
    name: 'begin-in-page',
    apply: 'build',
    transformIndexHtml: (html) => {
      const comment = /^\s*\/\/.*\n/gm;
      const script = readFileSync(file, 'utf8').replace(comment, '').replace(/^\s+/gm, '');
      return html.replace('<script src="/begin.js" async></script>', () => `<script>${script}</script>`);
    },
  };
}

/**
 * Has the browser compile the libraries of the first screen whole, on another thread while they come, instead of function by
 * function once they are run (the comment is V8's; other browsers pass over it). The program itself cannot have it: Vite
 * writes a line before it, and the comment counts at the top alone.
 */
function librariesCompiledWhole(): Plugin {
  return {
    name: 'libraries-compiled-whole',
    apply: 'build',
    // After the names of files are written into them, before they are compressed.
    enforce: 'post',
    generateBundle(_, bundle) {
      for (const part of Object.values(bundle))
        if (part.type === 'chunk' && part.name === 'libraries')
          part.code = `//# allFunctionsCalledOnLoad\n${part.code}`;
    },
  };
}

/**
 * Preact stands in for React, whose interface it has: the pages use little of it, and it is a tenth of the weight. Tests
 * take the same (vitest.config.ts).
 */
export const preact = [
  { find: /^react\/jsx-runtime$/, replacement: 'preact/compat/jsx-runtime' },
  { find: /^react\/jsx-dev-runtime$/, replacement: 'preact/compat/jsx-dev-runtime' },
  { find: /^react-dom\/client$/, replacement: 'preact/compat/client' },
  { find: /^react(-dom)?$/, replacement: 'preact/compat' },
];

export default defineConfig({
  resolve: { alias: preact },
  plugins: [
    react(),
    filesOfPages(),
    beginInPage(),
    librariesCompiledWhole(),
    // Each file compressed once, at build; the server hands out the copy that the browser can read.
    compression({
      algorithms: [defineAlgorithm('brotliCompress'), defineAlgorithm('gzip')],
      threshold: 1024,
    }),
  ],
  server: { proxy: { '/api': process.env.COLDROUNDS_API ?? 'http://localhost:8080' } },
  build: {
    target: 'es2022',
    chunkSizeWarningLimit: 700,
    rolldownOptions: {
      output: {
        // Charts are the heaviest part and change least: kept apart, so that the round reads before they load. What the
        // first screen is made of comes in two files, libraries and the rest: each file costs a request, and a little
        // one compresses badly.
        codeSplitting: {
          groups: [
            { name: 'echarts', test: /node_modules[\\/](echarts|zrender)/, priority: 20 },
            {
              name: 'libraries',
              test: /node_modules|rolldown[\\/]runtime/,
              tags: ['$initial'],
              priority: 10,
            },
            { name: 'program', tags: ['$initial'], priority: 5 },
          ],
        },
      },
    },
  },
});
