export function mountOffline() {}
export function setupOffline() {}
