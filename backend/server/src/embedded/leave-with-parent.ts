/**
 * Preloaded into each part: when the supervisor is gone, however it went, the part ends as on a polite request.
 * The channel must not keep a finished process alive, hence `unref`.
 */
process.on('disconnect', () => process.kill(process.pid, 'SIGTERM'));
process.channel?.unref();

export {};
