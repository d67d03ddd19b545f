"""Whether a rig turns over before it lands, what arrives at its fly, and a film of it."""
