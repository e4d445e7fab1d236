// The student's page keeps what is typed until it is written down, and takes a dropped table.

import { keepDrafts } from "./drafts.js";
import { dropping } from "./drop.js";

keepDrafts();
dropping(document.getElementById("give-shots"), "Give the table of one session.");
