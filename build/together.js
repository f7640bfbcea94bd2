/**
 * All that a report needs as one file. Left to itself the bundler makes a file of whatever two commands share, and a report loaded
 * fifty of them, at most of a millisecond each: an eighth of its time. What a shell's completion needs of that
 * is a file of its own: it must answer while somebody holds the Tab key.
 */
const REPORT = /\/src\/commands\/report\.ts$/;
const COMPLETION = /\/src\/commands\/completion\.ts$/;
const ALWAYS = /\/src\/cli\.ts$/;

/** Name of the file a module goes into; null where it stays with whoever asks for it. */
export const together = () => {
  const reports = reachedFrom(REPORT);
  const always = reachedFrom(ALWAYS);
  const completes = reachedFrom(COMPLETION);
  return (id, graph) => {
    if (!reports(id, graph) || always(id, graph)) return null;
    return completes(id, graph) ? 'completion-and-report' : 'report';
  };
};

/** Whether a module is loaded with another, by imports that do not wait until they are called. */
function reachedFrom(root) {
  const known = new Map();
  const reached = (id, graph) => {
    if (!known.has(id)) {
      known.set(id, false);
      const importers = graph.getModuleInfo(id)?.importers ?? [];
      known.set(id, root.test(id) || importers.some((one) => reached(one, graph)));
    }
    return known.get(id);
  };
  return reached;
}
