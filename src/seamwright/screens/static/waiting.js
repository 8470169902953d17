// @ts-check
import { by } from "./asking.js";
import { follow } from "./planning.js";

follow(by("waiting").dataset.job ?? "", (state) => {
  if (state.stage === "done") location.reload();
});
