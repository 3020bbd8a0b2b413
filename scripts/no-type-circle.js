import { ModuleInfo } from 'eslint-plugin-import-x/core/module-info';

/**
 * ESLint rule: an import of types must not lead back to the file that it is in. `import-x/no-cycle` looks at imports
 * of values only; a circle of types runs, but its files can no more be read one after the other than those of any circle.
 */
export const noTypeCircle = {
  meta: {
    type: 'problem',
    schema: [],
    messages: { circle: 'This import of types leads back to this file: {{route}}.' },
  },
  create(context) {
    const check = (node) => {
      if (!isTypesOnly(node) || node.source == null) return;
      const start = ModuleInfo.get(node.source.value, context);
      const route = start === null ? null : routeBack(start, context.physicalFilename);
      if (route !== null) context.report({ node, messageId: 'circle', data: { route: route.join(' > ') } });
    };
    return { ImportDeclaration: check, ExportNamedDeclaration: check, ExportAllDeclaration: check };
  },
};

const isTypesOnly = ({ importKind, exportKind, specifiers }) =>
  importKind === 'type' ||
  exportKind === 'type' ||
  (importKind === 'value' &&
    specifiers.length > 0 &&
    specifiers.every((specifier) => specifier.importKind === 'type'));

/** File names from `start` to `target` along imports of any kind, the shortest way; null where none leads there. */
function routeBack(start, target) {
  const seen = new Set([start.path]);
  const open = [{ info: start, route: [] }];
  for (const { info, route } of open) {
    const way = [...route, info.path.replace(/.*[\\/]/, '')];
    for (const [path, found] of info.getImports()) {
      if (path === target) return way;
      if (seen.has(path) || /[\\/]node_modules[\\/]/.test(path)) continue;
      seen.add(path);
      const next = found.resolve();
      if (next !== null) open.push({ info: next, route: way });
    }
  }
  return null;
}
