import { mount } from 'svelte';
import App from './App.svelte';
import { keepForOffline } from './offline/register';
import './style/page.css';
import './style/now.css';
import './style/sheets.css';
import './style/look.css';
import './style/intake.css';
import './style/desk.css';
import './style/apart.css';
import './style/cut.css';
import './style/told.css';
import './style/slate.css';
import './style/charts.css';
import './style/wide.css'; // last: it overrules for wide screens and print

const target = document.getElementById('page');
if (target) mount(App, { target });
keepForOffline();
