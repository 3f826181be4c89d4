// At once, so that nothing moves when the page is whole: what needs scripts has its room.
document.documentElement.classList.add("scripted");

document.addEventListener("DOMContentLoaded", () => {
  keepPlace();
  switchMeasures();
  judgeReadings();
  answerTables();
  stepThrough();
  keepRecord();
});
