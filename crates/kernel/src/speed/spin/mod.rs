//! Speed ripple, twist of the shaft, and the force of the phasing gear.
