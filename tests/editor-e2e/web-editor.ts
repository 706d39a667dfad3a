/** The name under which the web workbench is laid down for its runner; any forty hex digits serve. */
export const webCommit = '0'.repeat(40);
