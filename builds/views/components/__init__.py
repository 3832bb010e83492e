"""One page for developers: every component in every state, drawn by its own template from figures made up for it."""
