// The page of a plan takes a dropped table of shots from practice.

import { dropping } from "./drop.js";

dropping(document.getElementById("give-shots"), "Give the table of one session.");
